import { describe, expect, it } from 'vitest';
import { measuringCurve } from '../../../../shared-lib/signal/measuring-curve.ts';
import { impulseNms } from '../../../../shared-lib/trial/impulse.ts';
import { refusalOf, valueOf } from './read-measure.ts';
import { createNoise, synthesise } from './synthetic-run.ts';

describe('impulseNms', () => {
  it.each([80, 1000, 40_000])('is torque times time for a tool that stands, at %d Sa/s', (rateHz) => {
    const run = synthesise({ rateHz, plannedS: 5, onsetS: 0.0123, torqueNm: () => 250 });
    expect(valueOf(impulseNms(run))).toBeCloseTo(1250, 8);
  });

  it('is exact for a ramp between samples too', () => {
    // From onset at 100.5 ms to 5.1005 s: 40 (5.1005^2 - 0.1005^2) / 2.
    const run = synthesise({
      rateHz: 1000,
      plannedS: 5,
      onsetS: 0.1005,
      torqueNm: (t) => 40 * Math.max(0, t),
    });
    expect(valueOf(impulseNms(run))).toBeCloseTo(20 * (5.1005 ** 2 - 0.1005 ** 2), 8);
  });

  it('is that of a saturating rise to the trapezoid rule', () => {
    // The integral of 300 (1 - exp(-t/tau)) from 0 to 5 is 300 (5 - tau (1 - exp(-5/tau))). The rule is short of it by at
    // most d^2/12 times the change of the slope, 300/tau.
    const tauS = 0.8;
    const run = synthesise({
      rateHz: 1000,
      plannedS: 5,
      onsetS: 0,
      torqueNm: (t) => 300 * (1 - Math.exp(-Math.max(0, t) / tauS)),
    });
    const exact = 300 * (5 - tauS * (1 - Math.exp(-5 / tauS)));
    const short = exact - valueOf(impulseNms(run));
    expect(short).toBeGreaterThanOrEqual(-1e-9);
    expect(short).toBeLessThan((1e-6 / 12) * (300 / tauS) + 1e-9);
  });

  it('is moved by noise as little as the mean of its samples is', () => {
    const noise = createNoise(5);
    const run = synthesise({ rateHz: 1000, plannedS: 5, onsetS: 0, torqueNm: () => 250 + 10 * noise() });
    // 5000 samples of 10 N.m: the mean scatters by 0.14 N.m, the integral by 0.7 N m s.
    expect(Math.abs(valueOf(impulseNms(run)) - 1250)).toBeLessThan(3);
  });

  it('goes straight across lost samples, also at onset and at the end', () => {
    const run = synthesise({ rateHz: 1000, plannedS: 5, onsetS: 0, torqueNm: (t) => 100 + 10 * t });
    for (const [from, to] of [
      [995, 1004],
      [3000, 3040],
      [5990, 6005],
    ] as const) {
      run.rawNm.fill(Number.NaN, from, to);
    }
    expect(valueOf(impulseNms(run))).toBeCloseTo(500 + 125, 8);
  });

  it('lets the last sample stand for a last interval that none ends', () => {
    const whole = synthesise({ rateHz: 1000, plannedS: 5, onsetS: 0.0005, torqueNm: () => 250 });
    const rawNm = whole.rawNm.slice(0, 6002);
    rawNm[6001] = Number.NaN;
    expect(valueOf(impulseNms({ ...whole, rawNm, measuringNm: measuringCurve(rawNm, 101) }))).toBeCloseTo(
      1250,
      8,
    );
  });

  it('is given where the record ends exactly with the run', () => {
    const run = synthesise({ rateHz: 1000, plannedS: 5, onsetS: 0, torqueNm: () => 250 });
    const rawNm = run.rawNm.slice(0, 6001);
    expect(valueOf(impulseNms({ ...run, rawNm, measuringNm: run.measuringNm.slice(0, 6001) }))).toBeCloseTo(
      1250,
      8,
    );
  });

  it('is refused for a single gap in the measuring curve, wherever it lies', () => {
    const run = synthesise({ rateHz: 1000, plannedS: 5, onsetS: 0, torqueNm: () => 250 });
    for (const index of [2000, 2001]) {
      const measuringNm = run.measuringNm.slice();
      measuringNm[index] = Number.NaN;
      expect(refusalOf(impulseNms({ ...run, measuringNm }))).toContain('too many samples are lost');
    }
  });

  it('is refused where the record ends early or lost samples would have to be guessed', () => {
    const run = synthesise({ rateHz: 1000, plannedS: 5, onsetS: 0, torqueNm: () => 250 });
    expect(refusalOf(impulseNms({ ...run, plannedS: 8 }))).toContain(
      'the record ends 6.00\u202fs after onset',
    );
    run.rawNm.fill(Number.NaN, 3000, 3200);
    const gapped = { ...run, measuringNm: measuringCurve(run.rawNm, 101) };
    expect(refusalOf(impulseNms(gapped))).toContain('too many samples are lost');
  });
});
