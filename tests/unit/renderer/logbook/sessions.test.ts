import { describe, expect, it } from 'vitest';
import { THIN_SPACE } from '../../../../shared-lib/format-quantity.ts';
import type { SetupFigures } from '../../../../shared-lib/run-sheet/session-model.ts';
import {
  countWords,
  gateSentence,
  safetyWords,
  setupRow,
  spanWords,
} from '../../../../shared-lib/run-sheet/session-words.ts';
import { exposureShape } from '../../../../renderer/logbook/sessions/exposure-shape.ts';
import { torqueDisplay } from '../../../../renderer/ui/torque-display.ts';

const plain = (text: string) => text.replaceAll(THIN_SPACE, ' ');

const figures: SetupFigures = {
  label: 'Hollin H5, pack 2',
  setupId: 'setup-1',
  step: { toolName: 'Hollin H5', kind: 'tighten', direction: 'forward', plannedS: 5 },
  count: 3,
  leftOutCount: 1,
  conditioningCount: 1,
  voidedCount: 2,
  meanNm: 412.3,
  standardDeviationNm: 6.21,
  lowNm: 396.9,
  highNm: 427.7,
  isOneBlock: false,
};
const row = (change: Partial<SetupFigures> = {}) =>
  setupRow({ ...figures, ...change }, torqueDisplay('Nm', null), (value) => value.toFixed(1));

describe('figures of a setup in a session', () => {
  it('stand with what was left out of them', () => {
    const { step, ...rest } = row();
    expect(plain(step)).toBe('forward, 5 s');
    expect(rest).toEqual({
      label: 'Hollin H5, pack 2',
      count: '3',
      leftOut: '1',
      conditioning: '1',
      voided: '2',
      mean: '412',
      deviation: '6.2',
      interval: '397 to 428',
      remark: '',
    });
  });

  it('claim no scatter of one trial, and warn of repeats in one row', () => {
    const one = row({ count: 1, standardDeviationNm: null, lowNm: null, highNm: null, isOneBlock: true });
    expect(one).toMatchObject({ deviation: '–', interval: '–', remark: 'One trial alone has no scatter.' });
    expect(row({ isOneBlock: true }).remark).toMatch(/not independent/);
  });

  it('have no mean for a breakaway', () => {
    const step = { ...figures.step, kind: 'breakaway' } as const;
    const none = row({ step, meanNm: null, standardDeviationNm: null, lowNm: null, highNm: null });
    expect(none.mean).toBe('–');
    expect(none.remark).toMatch(/^Breakaway/);
  });
});

describe('a session in words', () => {
  it('counts its trials, and leaves out what there was none of', () => {
    const counts = { trialCount: 12, keptCount: 10, voidedCount: 2, interruptedCount: 0 };
    expect(countWords(counts)).toBe('12 trials: 10 kept, 2 voided');
    expect(countWords({ trialCount: 0, keptCount: 0, voidedCount: 0, interruptedCount: 0 })).toBe('0 trials');
  });

  it('says when it was, also where its end is not known', () => {
    const asItIs = (instant: string) => instant;
    expect(spanWords({ startedAt: 'a', endedAt: 'b' }, asItIs)).toBe('a to b');
    expect(spanWords({ startedAt: 'a', endedAt: null }, asItIs)).toBe('a, no end stored');
  });

  it('tells a safety list that was not confirmed from one that is not asked for', () => {
    const summary = {
      id: 'x',
      startedAt: '',
      endedAt: null,
      operator: '',
      transducerName: '',
      isSimulated: false,
      trialCount: 0,
      keptCount: 0,
      voidedCount: 0,
      interruptedCount: 0,
    };
    const words = (at: string | null, isSimulated: boolean) =>
      safetyWords({ safetyConfirmedAt: at, summary: { ...summary, isSimulated } }, (instant) => instant);
    expect(words('noon', false)).toBe('confirmed noon');
    expect(words(null, false)).toBe('not confirmed');
    expect(words(null, true)).toMatch(/simulated/);
  });

  it('says what its statistics take in, differently for each gate', () => {
    const sentences = (['goodOnly', 'goodAndLook', 'allKept'] as const).map(gateSentence);
    expect(new Set(sentences).size).toBe(3);
  });

  it('marks an exposure that has reached a value of the directive', () => {
    expect([exposureShape('below'), exposureShape('actionReached'), exposureShape('limitReached')]).toEqual([
      null,
      'caution',
      'fault',
    ]);
  });
});
