import { levelMeans, scaleOf } from './choose-fit.ts';
import type { Distributions } from './distributions.ts';
import { mean, type Series, standardDeviation } from './series-figures.ts';

/** How far the gain as a whole differs from one mounting to the next, or from series to series of one mounting. */
export interface GainScatter {
  readonly between: 'mountings' | 'series';
  /** Relative standard deviation. */
  readonly relative: number;
  readonly degreesOfFreedom: number;
  /** Variance of the gain of the fitted curve over that of a single mounting or series. */
  readonly shareInCurve: number;
}

/**
 * From the series that were fitted; null where there is one only, or only repeats of one step.
 *
 * All steps of a series move together with its gain, so that they are one observation of it: pooling steps would count it
 * many times. Where each mounting has an arm of its own, what the arms differ by is in it as well.
 */
export function gainScatter(fitted: readonly Series[]): GainScatter | null {
  const mountings = [...Map.groupBy(fitted, ({ mounting }) => mounting).values()];
  const arms = new Set(fitted.flatMap(({ increasing }) => increasing.map(({ arm }) => arm)));
  if (arms.size > 1) {
    const gains = mountings.map(gainThroughZero);
    return scatterOf('mountings', gains, mountings.map(sumOfSquares));
  }
  if (Math.max(0, ...fitted.map(({ increasing }) => increasing.length)) < 2) return null;
  const means = new Map(levelMeans(fitted).map(({ torqueNm, counts }) => [torqueNm, counts]));
  return scatterOf(
    mountings.length > 1 ? 'mountings' : 'series',
    fitted.map(({ increasing }) => scaleOf(increasing, means)),
    fitted.map((series) => sumOfSquares([series])),
  );
}

function scatterOf(
  between: GainScatter['between'],
  gains: readonly number[],
  weights: readonly number[],
): GainScatter | null {
  if (gains.length < 2) return null;
  const whole = weights.reduce((sum, weight) => sum + weight, 0);
  return {
    between,
    relative: standardDeviation(gains) / Math.abs(mean(gains)),
    degreesOfFreedom: gains.length - 1,
    shareInCurve: weights.reduce((sum, weight) => sum + (weight / whole) ** 2, 0),
  };
}

/** Two senses whose scatter differs by more than chance allows at this probability stand for themselves. */
const DIFFERENT_P = 0.05;

/**
 * The scatter of both senses in one: the same hands put the same arm on the same drive. Two or three mountings alone tell so
 * little that t goes beyond 4.
 */
export function pooledOverSenses(
  own: GainScatter | null,
  other: GainScatter | null,
  { fUpperTail }: Pick<Distributions, 'fUpperTail'>,
): GainScatter | null {
  if (own === null || other?.between !== own.between) return own;
  const [large, small] = own.relative > other.relative ? [own, other] : [other, own];
  if (small.relative === 0) return own;
  const f = (large.relative / small.relative) ** 2;
  if (2 * fUpperTail(f, large.degreesOfFreedom, small.degreesOfFreedom) < DIFFERENT_P) return own;
  const degreesOfFreedom = own.degreesOfFreedom + other.degreesOfFreedom;
  const squares = own.degreesOfFreedom * own.relative ** 2 + other.degreesOfFreedom * other.relative ** 2;
  return { ...own, degreesOfFreedom, relative: Math.sqrt(squares / degreesOfFreedom) };
}

function gainThroughZero(series: readonly Series[]): number {
  const points = series.flatMap(({ increasing }) => increasing);
  return points.reduce((sum, { torqueNm, counts }) => sum + torqueNm * counts, 0) / sumOfSquares(series);
}

function sumOfSquares(series: readonly Series[]): number {
  return series.flatMap(({ increasing }) => increasing).reduce((sum, { torqueNm }) => sum + torqueNm ** 2, 0);
}
