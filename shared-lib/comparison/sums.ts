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

/** Part of a squared standard error, with the degrees of freedom that it is known by. */
export interface VariancePart {
  readonly variance: number;
  readonly degreesOfFreedom: number;
}

/** Degrees of freedom of a sum of variances after Welch and Satterthwaite (GUM G.4). Infinite where no part is above 0. */
export function welchSatterthwaite(parts: readonly VariancePart[]): number {
  const total = sumOf(parts.map(({ variance }) => variance));
  const spread = sumOf(
    parts.map(({ variance, degreesOfFreedom }) => (variance === 0 ? 0 : variance ** 2 / degreesOfFreedom)),
  );
  return spread === 0 ? Infinity : total ** 2 / spread;
}
