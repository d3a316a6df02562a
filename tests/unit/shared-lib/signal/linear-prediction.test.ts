import { describe, expect, it } from 'vitest';
import { fitPredictors } from '../../../../shared-lib/signal/linear-prediction.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';

/** Yule's process of order 2, driven by white noise: each value is 1.8 times the last less 0.9 times the one before. */
function drivenOscillation(length: number): Int32Array {
  const random = createSeededRandom(3, 1);
  const counts = new Int32Array(length);
  for (let t = 2; t < length; t += 1) {
    counts[t] = Math.round(
      1.8 * (counts[t - 1] ?? 0) - 0.9 * (counts[t - 2] ?? 0) + 1000 * random.gaussian(),
    );
  }
  return counts;
}

describe('the weights of a forecast', () => {
  const counts = drivenOscillation(40_000);

  it('are those of the process, within their standard error, and none for samples further back', () => {
    const [weights] = fitPredictors(counts, 0, counts.length, [4]);
    // Large-sample standard error of the weights of an autoregression of order 2: sqrt((1 - 0.9^2) / n); from memory.
    const standardError = Math.sqrt((1 - 0.9 ** 2) / counts.length);
    const expected = [1.8, -0.9, 0, 0];
    expect(weights).toHaveLength(4);
    weights?.forEach((weight, lag) => {
      expect(Math.abs(weight - (expected[lag] ?? 0))).toBeLessThan(12 * standardError);
    });
  });

  it('come from the normal equations of the same samples', () => {
    const [weights] = fitPredictors(counts, 100, 600, [3]);
    if (!weights) throw new Error('There are none');
    // What is left is orthogonal to each of the samples that it was foretold from.
    for (const lag of [1, 2, 3]) {
      let [product, scale] = [0, 0];
      for (let t = 100; t < 600; t += 1) {
        const left = weights.reduce(
          (rest, weight, i) => rest - weight * (counts[t - 1 - i] ?? 0),
          counts[t] ?? 0,
        );
        product += left * (counts[t - lag] ?? 0);
        scale += (counts[t] ?? 0) ** 2;
      }
      expect(Math.abs(product / scale)).toBeLessThan(1e-9);
    }
  });

  it('are the same for an order whether others are asked for or not', () => {
    const [alone] = fitPredictors(counts, 200, 900, [2]);
    const [, among] = fitPredictors(counts, 200, 900, [1, 2]);
    expect(among).toEqual(alone);
  });

  it('are not given where samples stand still or are too few', () => {
    expect(fitPredictors(new Int32Array(1000), 0, 1000, [2, 8])).toEqual([null, null]);
    const [one, two] = fitPredictors(new Int32Array(1000).fill(7), 0, 1000, [1, 2]);
    expect(one?.[0]).toBeCloseTo(1, 12);
    expect(two).toBeNull();
    expect(fitPredictors(counts, 0, 10, [8])).toEqual([null]);
  });
});
