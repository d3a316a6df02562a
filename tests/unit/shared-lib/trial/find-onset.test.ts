import { describe, expect, it } from 'vitest';
import { findOnset, onsetLevelNm, standingTorqueNm } from '../../../../shared-lib/trial/find-onset.ts';
import { synthesise } from './synthetic-run.ts';

const curveOf = (rateHz: number, torqueNm: (timeS: number) => number): Float64Array =>
  synthesise({ rateHz, plannedS: 3, onsetS: 0, torqueNm }).measuringNm;

describe('findOnset', () => {
  it.each([80, 1000, 10_000])('on a ramp from 0 lies at level over slope (%d Sa/s)', (rateHz) => {
    // A symmetric window leaves a ramp as it is once it lies wholly on it: after half a window, at most 56 ms.
    // 40 N.m/s reaches 4.3 N.m after 107.5 ms; the record starts 1 s before.
    const curve = curveOf(rateHz, (t) => 40 * Math.max(0, t));
    expect(findOnset(curve, 4.3, rateHz)).toBeCloseTo(1.1075 * rateHz, 6);
  });

  it('on a step reads up to half a window early', () => {
    // Step of A = 100 from sample s = 1000 on; w = 101, half = 50. The window at sample s + k holds k + 51 samples of A,
    // so the curve is A (k + 51) / 101 and reaches L = 4 at k = 101 * 4 / 100 - 51 = -46.96.
    const curve = curveOf(1000, (t) => (t >= 0 ? 100 : 0));
    expect(findOnset(curve, 4, 1000)).toBeCloseTo(1000 - 46.96, 9);
  });

  it('ignores what is not held for 100 ms', () => {
    // A pulse of 100 ms becomes 201 ms wide at its foot in the curve; above half its height it is 100 ms wide, so
    // just above that it is not held.
    const curve = curveOf(1000, (t) => (t >= 0 && t < 0.1 ? 100 : t >= 1 ? 80 : 0));
    const onset = findOnset(curve, 51, 1000);
    expect(onset).toBeGreaterThan(1950);
    expect(findOnset(curve, 40, 1000)).toBeLessThan(1000);
  });

  it('needs 5 samples of hold at low rates', () => {
    // At 40 Sa/s 100 ms are 4 samples.
    const curve = new Float64Array(60);
    curve.fill(10, 20, 24);
    expect(findOnset(curve, 5, 40)).toBeNull();
    curve[24] = 10;
    expect(findOnset(curve, 5, 40)).toBeCloseTo(19.5, 12);
  });

  it('must exceed the level: standing on it is not enough', () => {
    expect(findOnset(new Float64Array(50).fill(5), 5, 80)).toBeNull();
  });

  it('starts the hold anew behind a gap and then lies on the first value, with nothing to interpolate from', () => {
    const curve = new Float64Array(60);
    curve.fill(10, 20);
    curve[24] = Number.NaN;
    expect(findOnset(curve, 5, 80)).toBe(25);
  });

  it('lies on the first sample where the record begins above the level', () => {
    expect(findOnset(new Float64Array(60).fill(10), 5, 80)).toBe(0);
  });

  it('is null where torque runs the other way', () => {
    expect(
      findOnset(
        curveOf(1000, (t) => -40 * Math.max(0, t)),
        4,
        1000,
      ),
    ).toBeNull();
  });
});

describe('standingTorqueNm', () => {
  const curve = Float64Array.from({ length: 200 }, (_, index) => index);

  it('is the mean over the first half second', () => {
    // 0 to 49 at 100 Sa/s.
    expect(standingTorqueNm(curve, 100)).toBe(24.5);
  });

  it('needs half of it', () => {
    const withLost = (count: number): Float64Array =>
      curve.map((value, index) => (index < count ? Number.NaN : value));
    // 25 to 49.
    expect(standingTorqueNm(withLost(25), 100)).toBe(37);
    expect(standingTorqueNm(withLost(26), 100)).toBeNull();
  });
});

describe('onsetLevelNm', () => {
  it('is 1 % of capacity, or five times the noise where that is more', () => {
    expect(onsetLevelNm(500, 0.2)).toBe(5);
    expect(onsetLevelNm(500, 1.2)).toBe(6);
  });
});
