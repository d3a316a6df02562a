import { describe, expect, it } from 'vitest';
import { zeroRecord } from '../../../../shared-lib/trial/zero-record.ts';
import { createNoise } from './synthetic-run.ts';

describe('zeroRecord', () => {
  it('gives mean, peak to peak and the number of samples, lost ones left out', () => {
    const counts = Float64Array.from({ length: 80 }, (_, i) => 1000 + (i % 2 === 0 ? 3 : -3));
    counts[10] = Number.NaN;
    counts[11] = Number.NaN;
    const zero = zeroRecord(counts, 80);
    expect(zero.meanCounts).toBeCloseTo(1000, 12);
    expect(zero.peakToPeakCounts).toBe(6);
    expect(zero.sampleCount).toBe(78);
  });

  it('gives the standard deviation of the measuring curve, not of the samples', () => {
    // +3 and -3 in turn: a full window of 9 holds five of one and four of the other, so the curve is +1/3 and -1/3 in turn.
    // The four windows at each end hold 5 to 8 samples: means 3/5, 0, 3/7, 0 of either sign. Squares about the mean of 0:
    // 72 x 1/9 + 2 x (9/25 + 9/49); n - 1 = 79.
    const counts = Float64Array.from({ length: 80 }, (_, i) => (i % 2 === 0 ? 3 : -3));
    const expected = Math.sqrt((72 / 9 + 2 * (9 / 25 + 9 / 49)) / 79);
    expect(zeroRecord(counts, 80).noiseCounts).toBeCloseTo(expected, 12);
  });

  it('finds white noise of s counts as about s over the root of the window', () => {
    const noise = createNoise(3);
    const counts = Float64Array.from({ length: 10_000 }, () => 59 * noise());
    const noiseCounts = zeroRecord(counts, 1000).noiseCounts ?? Number.NaN;
    expect(noiseCounts / (59 / Math.sqrt(101))).toBeGreaterThan(0.75);
    expect(noiseCounts / (59 / Math.sqrt(101))).toBeLessThan(1.25);
  });

  it('has no noise figure under 36 Sa/s', () => {
    expect(zeroRecord(new Float64Array(10).fill(5), 10)).toEqual({
      meanCounts: 5,
      noiseCounts: null,
      peakToPeakCounts: 0,
      sampleCount: 10,
    });
  });

  it('refuses fewer than ten samples', () => {
    const counts = new Float64Array(80).fill(Number.NaN);
    counts.fill(1, 0, 9);
    expect(() => zeroRecord(counts, 80)).toThrow(
      expect.objectContaining({ code: 'input-out-of-range' }) as Error,
    );
  });
});
