/** Sums that the statistics share; each runs twice over its values, so that a large mean costs no digits of the scatter. */
export function meanOf(values: readonly number[]): number {
  const rough = sumOf(values) / values.length;
  // What rounding left of the mean.
  return rough + sumOf(values.map((value) => value - rough)) / values.length;
}

export function sumOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0);
}

/** Sum of squares about the mean. */
export function squaresAboutMean(values: readonly number[]): number {
  const mean = meanOf(values);
  return sumOf(values.map((value) => (value - mean) ** 2));
}

/** With n - 1; NaN for fewer than two. */
export function standardDeviationOf(values: readonly number[]): number {
  return values.length < 2 ? Number.NaN : Math.sqrt(squaresAboutMean(values) / (values.length - 1));
}
