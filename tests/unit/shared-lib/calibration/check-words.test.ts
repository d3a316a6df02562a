import { describe, expect, it } from 'vitest';
import {
  checkedWithWords,
  hasCautions,
  reasonMark,
  verdictInTable,
} from '../../../../shared-lib/calibration/words/check-words.ts';
import { BASELINE_CHECKS, judgeDailyCheck } from '../../../../shared-lib/calibration/judge-daily-check.ts';
import { NEW_REFERENCE_RULE } from '../../../../shared-lib/calibration/read-check.ts';
import { demoCheck } from '../../../helpers/scripted-calibration.ts';

const remark = {
  rule: 'certificate-out-of-date',
  isBroken: false,
  sentence: 'The certificate of “20 kg A (demo)” held until 2026-01-31.',
};

describe('the reasons of a daily check', () => {
  it('are rules that held or were broken, as far as a rule judges', () => {
    const scattered = Array.from({ length: BASELINE_CHECKS }, (_, index) => (index % 2 === 0 ? 0.1 : -0.1));
    const judged = (errorNm: number) =>
      judgeDailyCheck({
        errorNm,
        referenceNm: 100,
        calibrationUncertaintyNm: 0.4,
        checkUncertaintyNm: 0.1,
        earlierErrorsPercent: scattered,
      }).reasons.map(reasonMark);
    const held = { word: 'Held', shape: 'good' };
    expect(judged(0)).toEqual([held, held, held, held]);
    expect(new Set(judged(20).map(({ word }) => word))).toEqual(new Set(['Broken']));
  });

  it('are cautions where something is to be looked at that no rule judges', () => {
    expect(reasonMark(remark)).toEqual({ word: 'Caution', shape: 'caution' });
    expect(reasonMark({ rule: 'mass-without-uncertainty', isBroken: false }).word).toBe('Caution');
    expect(reasonMark({ rule: 'outside-range', isBroken: false }).word).toBe('Caution');
    // A name that every object has is a caution like any other.
    expect(reasonMark({ rule: 'constructor', isBroken: false }).word).toBe('Caution');
  });

  it('are said as they are where nothing was judged', () => {
    expect(reasonMark({ rule: 'reference', isBroken: false })).toEqual({
      word: 'Note',
      shape: 'information',
    });
    expect(reasonMark({ rule: 'control charts', isBroken: false }).word).toBe('Not judged');
  });
});

describe('a daily check in a table', () => {
  const passed = demoCheck(1, 0.2);

  it('says of a pass with a caution that it has one', () => {
    expect(verdictInTable(passed)).toBe('Passed');
    const cautioned = { ...passed, reasons: [...passed.reasons, remark] };
    expect(hasCautions(cautioned)).toBe(true);
    expect(verdictInTable(cautioned)).toBe('Passed, with a caution');
  });

  it('says why a new reference was taken', () => {
    expect(checkedWithWords(passed)).toBe('20 kg A (demo) + 20 kg B (demo), forward');
    const renewed = demoCheck(2, 0, {
      means: { kind: 'shunt' },
      verdict: 'reference',
      reasons: [{ rule: NEW_REFERENCE_RULE, isBroken: false, sentence: 'Another shunt (demo).' }],
    });
    expect(checkedWithWords(renewed)).toBe('Shunt, new reference: Another shunt (demo).');
  });
});
