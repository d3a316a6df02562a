import { describe, expect, it } from 'vitest';
import { sustainedTorqueNm } from '../../../../shared-lib/trial/measures.ts';
import { stillClimbing, type StillClimbing } from '../../../../shared-lib/trial/still-climbing.ts';
import type { TrialRun } from '../../../../shared-lib/trial/trial-run.ts';
import { refusalOf, valueOf } from './read-measure.ts';
import { createNoise, synthesise } from './synthetic-run.ts';

const runOf = (torqueNm: (timeS: number) => number, plannedS = 5, rateHz = 1000): TrialRun =>
  synthesise({ rateHz, plannedS, onsetS: 0, torqueNm });
const climbing = (run: TrialRun): StillClimbing => stillClimbing(run, sustainedTorqueNm(run), null);

describe('stillClimbing', () => {
  it.each([36, 80, 1000])('is the slope of a ramp over its sustained torque, at %d Sa/s', (rateHz) => {
    // A centred mean leaves a ramp as it is, and every pair of points has its slope. At 36 Sa/s no torque is sustained.
    const run = runOf((t) => 100 + 20 * t, 5, rateHz);
    const { percentPerS, levelledOffSinceS } = stillClimbing(run, { value: 200 }, null);
    expect(valueOf(percentPerS)).toBeCloseTo(10, 9);
    expect(levelledOffSinceS).toBeNull();
  });

  it('is near the slope of a saturating rise in the middle of the window', () => {
    // T = S (1 - exp(-t/tau)). Between t1 and t2, m their middle and h their distance, the slope is
    // (S/tau) exp(-m/tau) sinh(h/2tau) / (h/2tau). Middles lie evenly about that of the window, so exp(-m/tau) has its median
    // there; the last factor lies between 1 and sinh(0.5)/0.5 = 1.042 for h up to 2 s and tau = 2 s.
    const tauS = 2;
    const run = runOf((t) => (t > 0 ? 300 * (1 - Math.exp(-t / tauS)) : 0));
    const middle = (100 / tauS) * Math.exp(-4 / tauS);
    const value = valueOf(stillClimbing(run, { value: 300 }, null).percentPerS);
    expect(value).toBeGreaterThan(middle);
    expect(value).toBeLessThan(1.042 * middle);
  });

  it('tells since when a stalled tool stands, and from onset where it stood at once', () => {
    const step = climbing(runOf((t) => (t >= 0 ? 250 : 0), 10));
    expect(valueOf(step.percentPerS)).toBe(0);
    expect(step.levelledOffSinceS).toBe(0);

    // 100 N.m/s up to 3 s, then flat. A window has a median of 0 once half of its pairs lie in the flat part, that is from
    // 70.7 % of it on: it then begins at 3 - 0.586 s, and its middle is 1 s later. Steps are 0.1 s long.
    const kneeMiddleS = 3 - 2 * (1 - Math.SQRT1_2) + 1;
    const { levelledOffSinceS } = climbing(runOf((t) => 100 * Math.min(3, Math.max(0, t)), 10));
    expect(levelledOffSinceS).toBeGreaterThan(kneeMiddleS - 0.1);
    expect(levelledOffSinceS).toBeLessThan(kneeMiddleS + 0.2);
  });

  it('tells it to one step of a hundredth of the planned time', () => {
    // Up to 8.44 s: level from a window on that begins at 8.44 - 0.586 = 7.854 s, so at 7.9 s and not at 7.8 s; its middle is 8.9 s.
    const { levelledOffSinceS } = climbing(runOf((t) => 100 * Math.min(8.44, Math.max(0, t)), 10));
    expect(levelledOffSinceS).toBeCloseTo(8.9, 9);
  });

  it('takes a saturating rise for level when its slope has come under 1 %/s', () => {
    // (100/tau) exp(-t/tau) = 1 at t = tau ln(100/tau); the window's own slope is up to sinh(1/tau)/(1/tau) as large.
    const tauS = 1.5;
    const run = runOf((t) => (t > 0 ? 300 * (1 - Math.exp(-t / tauS)) : 0), 15);
    const { levelledOffSinceS } = stillClimbing(run, { value: 300 }, null);
    const levelS = tauS * Math.log(100 / tauS);
    expect(levelledOffSinceS).toBeGreaterThan(levelS - 0.15);
    expect(levelledOffSinceS).toBeLessThan(levelS + tauS * Math.log(Math.sinh(1 / tauS) * tauS) + 0.3);
  });

  it('does not call a torque level that falls by more', () => {
    const { percentPerS, levelledOffSinceS } = climbing(runOf((t) => (t > 0 ? 300 - 12 * t : 0)));
    expect(valueOf(percentPerS)).toBeLessThan(-3);
    expect(levelledOffSinceS).toBeNull();
  });

  it('is held by its interval in 95 % of noisy runs, though neighbours share samples', () => {
    const noise = createNoise(17);
    const runs = 120;
    let held = 0;
    for (let index = 0; index < runs; index += 1) {
      const run = runOf((t) => 200 + 4 * t + 20 * noise(), 3);
      const { percentPerS } = stillClimbing(run, { value: 200 }, null);
      if ('refused' in percentPerS || percentPerS.interval === undefined) throw new Error('has no interval');
      held += Number(percentPerS.interval.low <= 2 && percentPerS.interval.high >= 2);
    }
    expect(held / runs).toBeGreaterThan(0.9);
    expect(held / runs).toBeLessThan(0.99);
  });

  it('does not follow a gross outlier', () => {
    const run = runOf((t) => 100 + 20 * t);
    run.measuringNm.fill(9000, 5400, 5500);
    expect(valueOf(stillClimbing(run, { value: 200 }, null).percentPerS)).toBeCloseTo(10, 1);
  });

  it('is given for a run of exactly 2 s, and where the record ends exactly with the run', () => {
    const run = runOf((t) => 100 + 20 * t, 2);
    // Of 4001 samples the last lies 2 s after this one.
    const shifted = { ...run, onsetIndex: 2000 };
    expect(valueOf(stillClimbing(shifted, { value: 200 }, null).percentPerS)).toBeCloseTo(10, 1);
  });

  it('is refused where the run does not carry it', () => {
    const run = runOf(() => 100);
    const sustained = sustainedTorqueNm(run);
    const refused = (changed: Partial<TrialRun>, stopS: number | null = null): string =>
      refusalOf(stillClimbing({ ...run, ...changed }, sustained, stopS).percentPerS);
    expect(refused({ plannedS: 1.5 })).toBe(
      'Still climbing needs a run of at least 2.0\u202fs; this one has 1.50\u202fs.',
    );
    expect(refused({ plannedS: 9 })).toContain('the record ends 6.00\u202fs after onset');
    expect(refused({}, 3.2)).toContain('the torque fell away 3.20\u202fs after onset');
    expect(refusalOf(stillClimbing(run, { refused: 'no rate' }, null).percentPerS)).toBe('no rate');
    expect(refusalOf(stillClimbing(run, { value: -3 }, null).percentPerS)).toContain('No torque was held');
    run.measuringNm.fill(Number.NaN, 4000, 5100);
    expect(refused({})).toContain('too many samples are lost');
  });

  it('is not level since a time that lies behind a gap', () => {
    const run = runOf((t) => (t >= 0 ? 250 : 0), 10);
    run.measuringNm.fill(Number.NaN, 4000, 6000);
    // Windows with less than half of their instants end the look back: those that reach more than 1 s into 3 to 5 s.
    const { levelledOffSinceS } = climbing(run);
    expect(levelledOffSinceS).toBeGreaterThanOrEqual(4.9);
    expect(levelledOffSinceS).toBeLessThanOrEqual(5.1);
  });
});
