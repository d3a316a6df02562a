/** Sums that the statistics share; each runs twice over its values, so that a large mean costs no digits of the scatter. */
export function meanOf(values: readonly number[]): number {
  const rough = sumOf(values) / values.length;
  let rest = 0;
  for (const value of values) rest += value - rough;
  // What rounding left of the mean.
  return rough + rest / values.length;
}

export function sumOf(values: readonly number[]): number {
  let sum = 0;
  for (const value of values) sum += value;
  return sum;
}

/** Sum of squares about the mean. */
export function squaresAboutMean(values: readonly number[]): number {
  const mean = meanOf(values);
  let sum = 0;
  for (const value of values) sum += (value - mean) ** 2;
  return sum;
}

/** With n - 1; NaN for fewer than two. */
export function standardDeviationOf(values: readonly number[]): number {
  return values.length < 2 ? Number.NaN : Math.sqrt(squaresAboutMean(values) / (values.length - 1));
}
