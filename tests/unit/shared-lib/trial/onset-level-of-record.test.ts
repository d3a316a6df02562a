import { describe, expect, it } from 'vitest';
import { measuringCurve } from '../../../../shared-lib/signal/measuring-curve.ts';
import { onsetLevelOfRecord } from '../../../../shared-lib/trial/onset-level-of-record.ts';
import { createNoise, sampleRecord } from './synthetic-run.ts';

const recordOf = (torqueNm: (timeS: number) => number, rateHz = 1000): Float64Array =>
  sampleRecord({ rateHz, plannedS: 3, torqueNm });

describe('onsetLevelOfRecord', () => {
  it('is 1 % of the capacity where the rest is quiet', () => {
    const level = onsetLevelOfRecord(
      recordOf((t) => (t > 0 ? 300 : 0)),
      1000,
      2000,
    );
    expect(level).toEqual({ levelNm: 20, noiseNm: 0, isCapacityKnown: true });
  });

  it('is five times the noise of the measuring curve where that is more', () => {
    const noise = createNoise(8);
    const raw = recordOf((t) => (t > 0 ? 300 : 0) + 8 * noise());
    // Means over 101 samples of 8 N.m scatter by 0.8 N.m, more than 1 % of 50 N.m over five.
    const level = onsetLevelOfRecord(raw, 1000, 50);
    const rest = measuringCurve(raw, 101).slice(0, 800);
    const mean = rest.reduce((sum, value) => sum + value, 0) / rest.length;
    const scatter = Math.sqrt(rest.reduce((sum, value) => sum + (value - mean) ** 2, 0) / rest.length);
    expect(level?.levelNm).toBe(5 * (level?.noiseNm ?? Number.NaN));
    expect((level?.noiseNm ?? Number.NaN) / scatter).toBeGreaterThan(0.7);
    expect((level?.noiseNm ?? Number.NaN) / scatter).toBeLessThan(1.3);
  });

  it('finds the rest also where it swings beyond 1 % of the capacity', () => {
    // 20 N.m at 3 Hz, of which a mean over 101 ms lets sin(x)/x = 86 % through, x = pi 3 0.101: a standard deviation of 12 N.m.
    const swinging = (t: number): number => (t < 0 ? 20 * Math.sin(2 * Math.PI * 3 * t) : 300);
    const level = onsetLevelOfRecord(recordOf(swinging), 1000, 500);
    expect(Math.abs((level?.noiseNm ?? Number.NaN) - 12)).toBeLessThan(1.5);
    expect(level?.levelNm).toBe(5 * (level?.noiseNm ?? Number.NaN));
  });

  it('sets noise alone a level that it does not reach', () => {
    const noise = createNoise(77);
    const raw = recordOf(() => 5 * noise());
    const { levelNm } = onsetLevelOfRecord(raw, 1000, null) ?? { levelNm: 0 };
    expect(levelNm).toBeGreaterThan(Math.max(...measuringCurve(raw, 101)));
  });

  it('leaves a rise that begins soon in the record out of its noise', () => {
    const level = onsetLevelOfRecord(
      recordOf((t) => (t > -0.7 ? 300 * (1 - Math.exp(-(t + 0.7) / 0.8)) : 0)),
      1000,
      500,
    );
    expect(level).toEqual({ levelNm: 5, noiseNm: 0, isCapacityKnown: true });
  });

  it('takes 1 % of the highest value without a capacity', () => {
    const level = onsetLevelOfRecord(
      recordOf((t) => (t > 0 ? 300 : 0)),
      1000,
      null,
    );
    expect(level?.isCapacityKnown).toBe(false);
    expect(level?.levelNm).toBeCloseTo(3, 9);
  });

  it('does not take a slow beginning for noise', () => {
    const level = onsetLevelOfRecord(
      recordOf((t) => 10 * (t + 1)),
      1000,
      2000,
    );
    expect(level?.levelNm).toBe(20);
    expect(level?.noiseNm).toBeLessThan(0.2);
  });

  it('knows no noise of a record that begins under load, or too slow for a measuring curve', () => {
    expect(
      onsetLevelOfRecord(
        recordOf(() => 300),
        1000,
        2000,
      ),
    ).toEqual({
      levelNm: 20,
      noiseNm: null,
      isCapacityKnown: true,
    });
    expect(
      onsetLevelOfRecord(
        recordOf(() => 300, 20),
        20,
        null,
      ),
    ).toEqual({
      levelNm: 3,
      noiseNm: null,
      isCapacityKnown: false,
    });
  });

  it('takes the straight line of a slow beginning out of the noise altogether', () => {
    // At the record's beginning the window grows to one side, so that a ramp stays a line, of half its slope.
    const raw = Float64Array.from({ length: 2000 }, (_, index) => (index >= 161 ? 300 : 1e-4 * index));
    const { noiseNm } = onsetLevelOfRecord(raw, 1000, null) ?? { noiseNm: null };
    expect(noiseNm).not.toBeNull();
    expect(noiseNm).toBeLessThan(1e-9);
  });

  it('wants ten samples that lie a whole window before the torque', () => {
    // The window of 101 samples reaches 1 % of 300 N.m 50 samples before the step: at sample 111, whose window begins at 10.
    const stepAt = (first: number) =>
      Float64Array.from({ length: 2000 }, (_, index) => (index >= first ? 300 : 0));
    expect(onsetLevelOfRecord(stepAt(161), 1000, null)?.noiseNm).toBe(0);
    expect(onsetLevelOfRecord(stepAt(160), 1000, null)?.noiseNm).toBeNull();
  });

  it('has a level of 1 % alone where no noise is known, however small that is', () => {
    expect(
      onsetLevelOfRecord(
        recordOf(() => 300),
        1000,
        30,
      ),
    ).toEqual({ levelNm: 0.3, noiseNm: null, isCapacityKnown: true });
    // Too slow for a measuring curve, whatever rest there is.
    const slow = onsetLevelOfRecord(
      recordOf((t) => (t > 1 ? 300 : 0), 20),
      20,
      null,
    );
    expect(slow).toEqual({ levelNm: 3, noiseNm: null, isCapacityKnown: false });
  });

  it('has no level for a curve without torque and capacity', () => {
    expect(
      onsetLevelOfRecord(
        recordOf(() => 0),
        1000,
        null,
      ),
    ).toBeNull();
    expect(
      onsetLevelOfRecord(
        recordOf(() => -5),
        1000,
        null,
      ),
    ).toBeNull();
  });
});
