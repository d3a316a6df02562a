import { describe, expect, it } from 'vitest';
import { median, percentile, scaledMedianDeviation } from '../../../../shared-lib/signal/order-statistics.ts';
import vectors from '../../../fixtures/reference-values/stats-vectors.json' with { type: 'json' };

describe('percentile', () => {
  it.each([
    ['ten values', vectors.percentile],
    ['twelve values with ties', vectors.percentileTies],
  ])('is type 7 of Hyndman and Fan, of %s', (_, { x, type7 }) => {
    const percents = Object.entries(type7);
    expect(percents.length).toBeGreaterThan(5);
    for (const [percent, value] of percents) {
      expect(Math.abs(percentile(x, Number(percent) / 100) - value)).toBeLessThan(1e-12);
    }
  });

  it('takes one value for all of them, and none from nothing', () => {
    expect(percentile([7], 0.9)).toBe(7);
    expect(percentile([], 0.5)).toBeNaN();
  });

  it('leaves the values as they stand', () => {
    const values = Float64Array.of(3, 1, 2);
    expect(median(values)).toBe(2);
    expect([...values]).toEqual([3, 1, 2]);
  });
});

describe('scaledMedianDeviation', () => {
  it('is the median absolute deviation times 1.4826', () => {
    const { x, median: middle, madRaw, ['madScaled1.4826']: scaled } = vectors.mad;
    expect(Math.abs(median(x) - middle)).toBeLessThan(1e-12);
    // scipy scales by 1 / quantile(0.75) in full, the rounded number of textbooks agrees to 2e-6 of it.
    expect(Math.abs(scaledMedianDeviation(x) / 1.4826 - madRaw)).toBeLessThan(1e-12);
    expect(Math.abs(scaledMedianDeviation(x) / scaled - 1)).toBeLessThan(2e-6);
  });
});
