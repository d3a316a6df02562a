export interface ChartLimits {
  readonly centre: number;
  readonly lower: number;
  readonly upper: number;
}

/** Mean of the range of two neighbours over their standard deviation, for normal values. */
const D2 = 1.128;
const INDIVIDUALS_FACTOR = 3 / D2;

/**
 * Limits of an individuals chart: mean +- 2.66 mean moving range. Shape: at least two values.
 * Source: NIST/SEMATECH e-Handbook 6.3.2.2, whose example of flow rates it is checked against (from memory and recomputed).
 */
export function individualsLimits(values: readonly number[]): ChartLimits {
  const centre = meanOf(values);
  const ranges = values.slice(1).map((value, index) => Math.abs(value - (values[index] ?? Number.NaN)));
  const half = INDIVIDUALS_FACTOR * meanOf(ranges);
  return { centre, lower: centre - half, upper: centre + half };
}

/** Standard deviation as the moving ranges have it, which a slow drift does not blow up. */
export function movingRangeSigma(values: readonly number[]): number {
  const ranges = values.slice(1).map((value, index) => Math.abs(value - (values[index] ?? Number.NaN)));
  return meanOf(ranges) / D2;
}

/**
 * Exponentially weighted means of the values, the newest with weight lambda, beginning from the centre. A value that is not
 * carried has its mean, and those after it go on from the one before.
 */
export function weightedMeans(
  values: readonly number[],
  lambda: number,
  centre: number,
  isCarried?: readonly boolean[],
): number[] {
  let carried = centre;
  return values.map((value, index) => {
    const weighted = lambda * value + (1 - lambda) * carried;
    if (isCarried?.[index] !== false) carried = weighted;
    return weighted;
  });
}

/**
 * Limits of an EWMA chart for the n-th value: centre +- L sigma sqrt(lambda/(2 - lambda) (1 - (1 - lambda)^2n)); they widen
 * over the first values. Without n those of a long series.
 * Source: NIST/SEMATECH e-Handbook 6.3.2.4, whose example it is checked against (from memory and recomputed).
 */
export function ewmaLimits(options: {
  readonly centre: number;
  readonly sigma: number;
  readonly lambda: number;
  readonly factor: number;
  readonly n?: number;
}): ChartLimits {
  const { centre, sigma, lambda, factor, n } = options;
  const settled = n === undefined ? 1 : 1 - (1 - lambda) ** (2 * n);
  const half = factor * sigma * Math.sqrt((lambda / (2 - lambda)) * settled);
  return { centre, lower: centre - half, upper: centre + half };
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
