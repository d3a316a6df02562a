import { percentileOfSorted } from '../signal/order-statistics.ts';

export interface TheilSenSlope {
  /** In units of y per unit of x. */
  readonly slope: number;
  /** 95 %; null where too few of the values are independent to have one. */
  readonly interval: { readonly low: number; readonly high: number } | null;
}

/** Two-sided 95 % of the normal distribution. */
const NORMAL_QUANTILE = 1.959963984540054;

/**
 * Theil and Sen's slope: the median of the slopes between all pairs of points. Its 95 % interval is Sen's: the slopes at
 * the ranks (N -+ z s) / 2 of N, s^2 the variance of Kendall's S with its correction for equal values.
 *
 * `sharing`: how many neighbouring values rest on the same samples, where they are running means; 1: none. The values then
 * bear no more than n / sharing independent ones, and s is taken sqrt(sharing) times as large: for running means of white
 * noise the variance of S grows by the sum of their autocorrelations, which is that number.
 *
 * Shape: x and y of one length, at least two different x, no NaN.
 * Source: P. K. Sen, Journal of the American Statistical Association 63 (1968), from memory; checked against
 * stats-vectors.json (scipy's theilslopes).
 */
export function theilSen(x: Float64Array, y: Float64Array, sharing = 1): TheilSenSlope {
  const slopes = pairSlopes(x, y);
  const spread =
    NORMAL_QUANTILE * Math.sqrt(Math.max(1, sharing) * kendallVariance(x.length, [tieSizes(x), tieSizes(y)]));
  const lowRank = Math.round((slopes.length - spread) / 2) - 1;
  const highRank = Math.round((slopes.length + spread) / 2);
  // Both lie outside of the slopes where one does.
  const [low, high] = [slopes[lowRank], slopes[highRank]];
  return {
    slope: percentileOfSorted(slopes, 0.5),
    interval: low === undefined || high === undefined ? null : { low, high },
  };
}

/** In rising order; pairs of equal x have none. */
function pairSlopes(x: Float64Array, y: Float64Array): Float64Array {
  const slopes = new Float64Array((x.length * (x.length - 1)) / 2);
  let count = 0;
  for (let i = 1; i < x.length; i += 1) {
    for (let j = 0; j < i; j += 1) {
      const run = (x[i] ?? Number.NaN) - (x[j] ?? Number.NaN);
      if (run === 0) continue;
      slopes[count] = ((y[i] ?? Number.NaN) - (y[j] ?? Number.NaN)) / run;
      count += 1;
    }
  }
  return slopes.subarray(0, count).sort();
}

function kendallVariance(n: number, ties: readonly (readonly number[])[]): number {
  const term = (size: number): number => size * (size - 1) * (2 * size + 5);
  return (term(n) - ties.flat().reduce((sum, size) => sum + term(size), 0)) / 18;
}

/** How many values are equal, for each value that stands more than once. */
function tieSizes(values: Float64Array): number[] {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts.values()].filter((count) => count > 1);
}
