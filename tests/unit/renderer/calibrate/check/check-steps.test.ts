import { describe, expect, it } from 'vitest';
import {
  firstChoice,
  readMeans,
  usualMeansToday,
} from '../../../../../renderer/calibrate/check/check-means.ts';
import { meansWords } from '../../../../../shared-lib/calibration/words/check-words.ts';
import { afterwardsWords, stepWords, whyHeld } from '../../../../../renderer/calibrate/check/check-steps.ts';
import { checkDecimals } from '../../../../../renderer/calibrate/check/use-check-torque.ts';
import { demoMeans, demoStandards } from '../../../../helpers/scripted-calibration.ts';

const plain = (text: string): string => text.replaceAll('\u202f', ' ');
const capture = (meanCounts: number, spreadCounts: number) => ({
  meanCounts,
  spreadCounts,
  sampleCount: 1000,
});

describe('the steps of a daily check', () => {
  it('say what to hang, in which sense', () => {
    const words = stepWords({ kind: 'load', zero: capture(0, 1) }, demoMeans);
    expect(plain(words.instruction)).toBe('Hang 40 kg from the arm, forward. Wait until it hangs still.');
    expect(stepWords({ kind: 'zero' }, { kind: 'shunt' }).instruction).toContain('the shunt is off');
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
    expect(afterwardsWords({ verdict: 'failed', means: demoMeans })).toMatch(/Do not trust/);
    expect(afterwardsWords({ verdict: 'passed', means: { kind: 'shunt' } })).toMatch(
      /does not check the arm/,
    );
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
