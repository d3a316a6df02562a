import { describe, expect, it } from 'vitest';
import {
  firstChoice,
  readMeans,
  usualMeansToday,
} from '../../../../../renderer/calibrate/check/check-means.ts';
import type { CheckMeans, DailyCheck } from '../../../../../shared-lib/calibration/daily-check-model.ts';
import { meansWords } from '../../../../../shared-lib/calibration/words/check-words.ts';
import { afterwardsWords, stepWords, whyHeld } from '../../../../../renderer/calibrate/check/check-steps.ts';
import { checkDecimals } from '../../../../../renderer/calibrate/check/use-check-torque.ts';
import { demoMeans, demoStandards } from '../../../../helpers/scripted-calibration.ts';

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
