import { describe, expect, it } from 'vitest';
import { failureSentence } from '../../../../../renderer/calibrate/check/failure-sentence.ts';

const sentence = (trialIds: string[], isEarlierCalibration = false): string =>
  failureSentence(
    { failedAt: '2026-01-12', trialIds },
    { isEarlierCalibration, formatInstant: (instant) => instant },
  );

describe('what a failed check means', () => {
  it('is said of its own trials, with their number', () => {
    expect(sentence(['trial-1', 'trial-2'])).toMatch(
      /^The check of 2026-01-12 failed, .* 2 trials carry its mark/,
    );
    expect(sentence(['trial-1'])).toContain('1 trial carries its mark');
  });

  it('names an earlier calibration, and says where no trial waits', () => {
    expect(sentence(['trial-1'], true)).toMatch(
      /^The check of 2026-01-12, under an earlier calibration, failed/,
    );
    expect(sentence([])).toContain('all are decided on');
  });
});
