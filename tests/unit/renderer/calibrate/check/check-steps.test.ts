import { describe, expect, it } from 'vitest';
import {
  firstChoice,
  readMeans,
  usualMeansToday,
} from '../../../../../renderer/calibrate/check/check-means.ts';
import type { CheckMeans, DailyCheck } from '../../../../../shared-lib/calibration/daily-check-model.ts';
import { meansWords } from '../../../../../shared-lib/calibration/words/check-words.ts';
import {
  afterwardsWords,
  heldStep,
  heldWords,
  newReferenceUnder,
  pairAfter,
  stepWords,
  whyHeld,
} from '../../../../../renderer/calibrate/check/check-steps.ts';
import { checkDecimals } from '../../../../../renderer/calibrate/check/use-check-torque.ts';
import { newestCheckKey } from '../../../../../renderer/calibrate/check/use-daily-checks.ts';
import { readyStatus } from '../../../../helpers/scripted-bench.ts';
import { demoCheck, demoMeans, demoStandards } from '../../../../helpers/scripted-calibration.ts';

const plain = (text: string): string => text.replaceAll('\u202f', ' ');
const onArm = { way: 'weightsOnArm', torqueNm: 392.3 } as const;
const instructionOf = (...asked: Parameters<typeof stepWords>): string =>
  plain(stepWords(...asked).instruction);
const capture = (meanCounts: number, spreadCounts: number) => ({
  meanCounts,
  spreadCounts,
  sampleCount: 1000,
});

const loading = { kind: 'load', zero: capture(0, 1) } as const;

describe('the steps of a daily check', () => {
  it('say what to hang, in which sense', () => {
    const zero = instructionOf({ kind: 'zero' }, demoMeans, onArm);
    expect(zero).toBe('The arm is on and nothing hangs from it. Wait until it is still.');
    expect(instructionOf(loading, demoMeans, onArm)).toBe(
      'Hang 40 kg from the arm, forward: 392.3 N·m (289.3 ft·lbf). Wait until it hangs still.',
    );
    expect(instructionOf({ kind: 'zero' }, { kind: 'shunt' }, { ...onArm, torqueNm: null })).toContain(
      'the shunt is off',
    );
  });

  it('have the zero read without an arm whose own weight is counted', () => {
    const own = { massKg: 1.5, densityKgM3: 7850, centreOfMassM: 0.31 };
    const means = { ...demoMeans, arm: { ...demoMeans.arm, own } };
    expect(instructionOf({ kind: 'zero' }, means, onArm)).toMatch(/^Take everything off, the arm too\./);
    expect(instructionOf(loading, means, onArm)).toMatch(/^Put the arm on and hang 40 kg from it, forward:/);
  });

  it('speak of the hanger where the weights of the calibration hung from one', () => {
    const own = { massKg: 1.5, densityKgM3: 7850, centreOfMassM: 0.31 };
    const means = { ...demoMeans, arm: { ...demoMeans.arm, own } };
    const onHanger = { way: 'loadCell', torqueNm: 392.3 } as const;
    expect(instructionOf({ kind: 'zero' }, means, onHanger)).toMatch(/^Nothing hangs from the hanger\./);
    expect(instructionOf(loading, means, onHanger)).toMatch(/^Hang 40 kg from the hanger, forward:/);
    const afterwards = afterwardsWords({ verdict: 'passed', means, reasons: [] }, 'loadCell');
    expect(afterwards).not.toContain('arm');
  });

  it('judge a pair of steady readings at once', () => {
    expect(whyHeld(capture(1200, 20), capture(33_000, 40))).toBeNull();
  });

  it('do not judge a load that swings, a zero that moved, or a load that is not there', () => {
    expect(whyHeld(capture(1200, 20), capture(33_000, 4000))).toMatch(/^Moving/);
    expect(whyHeld(capture(1200, 900), capture(33_000, 40))).toMatch(/^The zero was not steady/);
    expect(whyHeld(capture(1200, 20), capture(15_000, 31_000))).toMatch(/^Moving/);
    expect(whyHeld(capture(1200, 0), capture(1201, 1))).toMatch(/hardly another than the zero/);
    expect(whyHeld(capture(1200, 20), capture(1215, 20))).toMatch(/hardly another than the zero/);
  });

  it('say after a failed check what to look at, and after a shunt what it does not show', () => {
    const after = (verdict: DailyCheck['verdict'], means: CheckMeans, reasons: DailyCheck['reasons'] = []) =>
      afterwardsWords({ verdict, means, reasons }, 'weightsOnArm');
    expect(after('failed', demoMeans)).toMatch(/Do not trust/);
    expect(after('passed', { kind: 'shunt' })).toMatch(/does not check the arm/);
    expect(after('failed', { kind: 'shunt' })).toMatch(/take the reading as a new reference/);
  });

  it('do not say that the bench reads right where something is to be looked at beside the pass', () => {
    const after = (reasons: DailyCheck['reasons']) =>
      afterwardsWords({ verdict: 'passed', means: demoMeans, reasons }, 'weightsOnArm');
    expect(after([])).toContain('The bench reads right');
    const remark = { rule: 'outside-range', isBroken: false, sentence: 'Beyond what was calibrated (demo).' };
    expect(after([remark])).not.toContain('The bench reads right');
  });

  it('show the limit with two digits', () => {
    expect(checkDecimals({ limitNm: 1.1, errorNm: 0 }, 1)).toBe(1);
    expect(checkDecimals({ limitNm: 0.034, errorNm: 0 }, 1)).toBe(3);
    expect(checkDecimals({ limitNm: null, errorNm: 12 }, 1)).toBe(0);
  });
});

describe('a reading that is not steady', () => {
  const shunt: CheckMeans = { kind: 'shunt' };
  const held = (newReferenceReason: string | null) => {
    const step = heldStep({ zero: capture(0, 1), load: capture(33_000, 4000), newReferenceReason });
    if (step === null) throw new Error('It swings, so it is held');
    return step;
  };

  it('is read again to be judged, or judged as it is', () => {
    const step = heldStep(pairAfter(loading, capture(33_000, 4000)));
    expect(step).toEqual(held(null));
    expect(stepWords(held(null), shunt, onArm).action).toBe('Read it again and judge');
    expect(heldWords(held(null))).toMatchObject({ lead: 'Not judged yet.', anyway: 'Judge it as it is' });
  });

  it('stays the new reference that it was to be, with its reason, however often it is read again', () => {
    const reason = 'Another shunt resistor (demo)';
    expect(stepWords(held(reason), shunt, onArm).action).toBe('Read it again as the new reference');
    expect(heldWords(held(reason))).toMatchObject({
      lead: 'Not taken as the new reference yet.',
      anyway: 'Take it as it is',
    });
    const restless = heldStep(pairAfter(held(reason), capture(33_000, 900)));
    expect(restless).toMatchObject({ kind: 'held', load: { spreadCounts: 900 }, newReferenceReason: reason });
    const steady = pairAfter(held(reason), capture(33_000, 40));
    expect(steady).toMatchObject({ load: { spreadCounts: 40 }, newReferenceReason: reason });
    expect(heldStep(steady)).toBeNull();
  });
});

describe('a new reference of the shunt', () => {
  const reference = demoCheck(1, 0, { means: { kind: 'shunt' }, verdict: 'reference' });
  const failed = demoCheck(2, 2.4);

  it('takes the place of one that is there', () => {
    expect(newReferenceUnder([])).toBe('none');
    expect(newReferenceUnder([demoCheck(2, 0.2)])).toBe('none');
    expect(newReferenceUnder([reference])).toBe('free');
    expect(newReferenceUnder([demoCheck(2, 0.2), reference])).toBe('free');
  });

  it('waits for a check that passes in the sense of the one that failed', () => {
    expect(newReferenceUnder([failed, reference])).toBe('afterWeight');
    expect(newReferenceUnder([{ ...reference, id: 3 }, failed, reference])).toBe('afterWeight');
    const otherWay = demoCheck(3, 0.2, { means: { ...demoMeans, sense: 'reverse' } });
    expect(newReferenceUnder([otherWay, failed, reference])).toBe('afterWeight');
    expect(newReferenceUnder([demoCheck(3, 0.2), failed, reference])).toBe('free');
  });
});

describe('the list of the checks', () => {
  it('is out of date once the status names another check, or another calibration', () => {
    const { calibration } = readyStatus;
    if (calibration === null) throw new Error('The scripted bench is calibrated.');
    const keyOf = (id: string, newestCheckId: number | null) =>
      newestCheckKey({ calibration: { ...calibration, id, check: { ...calibration.check, newestCheckId } } });
    const keys = [keyOf('a', null), keyOf('a', 1), keyOf('a', 2), keyOf('b', 2), newestCheckKey(null)];
    expect(new Set(keys).size).toBe(keys.length);
    expect(keyOf('a', 2)).toBe(keyOf('a', 2));
  });
});

describe('what is checked with', () => {
  it('is offered again as the lists have it today', () => {
    const longer = {
      ...demoStandards,
      arms: demoStandards.arms.map((arm) => ({ ...arm, lengthM: 1.002 })),
    };
    expect(usualMeansToday(demoMeans, longer)).toMatchObject({ arm: { lengthM: 1.002 } });
    expect(usualMeansToday({ kind: 'shunt' }, demoStandards)).toEqual({ kind: 'shunt' });
  });

  it('is chosen anew where something of it is no longer in the lists', () => {
    const fewer = { ...demoStandards, weights: demoStandards.weights.slice(1) };
    expect(usualMeansToday(demoMeans, fewer)).toBeNull();
    expect(usualMeansToday(null, demoStandards)).toBeNull();
  });

  it('names what is still needed, in the order of the form', () => {
    const choice = firstChoice(null, demoStandards, ['reverse']);
    expect(choice).toMatchObject({ sense: 'reverse', armId: 'arm-long', weightIds: [] });
    expect(readMeans(choice, demoStandards)).toEqual({ missing: ['a weight'] });
    expect(readMeans({ ...choice, armId: null, siteId: null }, demoStandards)).toEqual({
      missing: ['a weight', 'the arm', 'the place'],
    });
  });

  it('reads as a sentence', () => {
    expect(plain(meansWords(demoMeans))).toBe(
      '20 kg A (demo) (20 kg) + 20 kg B (demo) (20 kg) on Long arm (demo) (1 m), forward, at Workshop (demo)',
    );
  });
});
