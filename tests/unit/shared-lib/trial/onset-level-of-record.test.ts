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

  it('has as noise the residual standard deviation about the straight line of the first second, of n - 2 degrees of freedom', () => {
    const noise = createNoise(21);
    const raw = recordOf((t) => (t > 1 ? 300 : 4 * t + 3 * noise()));
    const rest = [...measuringCurve(raw, 101).slice(0, 1000)].map((y, x) => ({ x, y }));
    const sum = (term: (point: { x: number; y: number }) => number) =>
      rest.reduce((total, point) => total + term(point), 0);
    const [meanX, meanY] = [sum(({ x }) => x) / 1000, sum(({ y }) => y) / 1000];
    const [xx, xy, yy] = [
      sum(({ x }) => (x - meanX) ** 2),
      sum(({ x, y }) => (x - meanX) * (y - meanY)),
      sum(({ y }) => (y - meanY) ** 2),
    ];
    const expected = Math.sqrt((yy - xy ** 2 / xx) / 998);
    expect((onsetLevelOfRecord(raw, 1000, 500)?.noiseNm ?? Number.NaN) / expected).toBeCloseTo(1, 9);
  });

  it('finds the rest also where it swings beyond 1 % of the capacity', () => {
    // 20 N.m at 3 Hz, of which a mean over 101 ms lets sin(x)/x = 86 % through, x = pi 3 0.101: a standard deviation of 12 N.m.
    const swinging = (t: number): number => (t < 0 ? 20 * Math.sin(2 * Math.PI * 3 * t) : 300);
    const level = onsetLevelOfRecord(recordOf(swinging), 1000, 500);
    expect(Math.abs((level?.noiseNm ?? Number.NaN) - 12)).toBeLessThan(1.5);
    expect(level?.levelNm).toBe(5 * (level?.noiseNm ?? Number.NaN));
  });

  it('takes for rest what never passes 1 % of the capacity', () => {
    // A step h half-way through the second that is looked at, which the mean makes a ramp of w = 0.101 of it. About the mean its
    // square is h^2 (1 - 2w/3) / 4, of which the straight line takes 12 h^2 (1/8 - w^2/24)^2; what is left comes to 0.21665 h.
    const raw = Float64Array.from({ length: 3000 }, (_, index) => (index < 500 ? 0 : 19.5));
    const level = onsetLevelOfRecord(raw, 1000, 2000);
    expect(Math.abs((level?.noiseNm ?? Number.NaN) - 0.21665 * 19.5)).toBeLessThan(0.05);
    expect(level?.levelNm).toBe(5 * (level?.noiseNm ?? Number.NaN));
  });

  it('does not look on where five times the noise is no less than the level that it was taken before', () => {
    // A swing of 90 N.m at 5 Hz, whole periods of a cosine: 90 / sqrt(2) = 64 N.m, of which the mean over 101 ms lets 63 % through:
    // 40 N.m. Five times that is more than half of 300 N.m, so that the hold at 180 N.m is no rest.
    const raw = Float64Array.from({ length: 3000 }, (_, index) =>
      index < 450 ? 90 * Math.cos((2 * Math.PI * 5 * index) / 1000) : index < 750 ? 180 : 300,
    );
    const level = onsetLevelOfRecord(raw, 1000, 500);
    expect(Math.abs((level?.noiseNm ?? Number.NaN) - 40)).toBeLessThan(6);
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
