/**
 * The value with a share of the others below it: of n values in rising order the one at position (n - 1) x share, on the
 * straight line between its neighbours (type 7 of Hyndman and Fan). NaN for no values.
 *
 * `share` from 0 to 1. Checked against stats-vectors.json (numpy's 'linear').
 */
export function percentile(values: ArrayLike<number>, share: number): number {
  return percentileOfSorted(Float64Array.from(values).sort(), share);
}

export function median(values: ArrayLike<number>): number {
  return percentile(values, 0.5);
}

/** As `percentile`, of values that already stand in rising order. */
export function percentileOfSorted(sorted: Float64Array, share: number): number {
  const position = (sorted.length - 1) * share;
  const index = Math.floor(position);
  const below = sorted[index] ?? Number.NaN;
  const above = sorted[index + 1] ?? below;
  return below + (position - index) * (above - below);
}

/** Makes the median absolute deviation of normal values their standard deviation: 1 / quantile(0.75), rounded. */
const NORMAL_SCALE = 1.4826;

/** Median absolute deviation from the median, times 1.4826: a standard deviation that a few gross values do not move. */
export function scaledMedianDeviation(values: ArrayLike<number>): number {
  const centre = median(values);
  return NORMAL_SCALE * median(Float64Array.from(values, (value) => Math.abs(value - centre)));
}
