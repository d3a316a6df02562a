import type { Distributions } from '../calibration/distributions.ts';
import { totalVariance, welchSatterthwaite } from './combine-variances.ts';
import { meanOf, squaresAboutMean } from './sums.ts';

export interface Difference {
  readonly difference: number;
  readonly standardError: number;
  readonly degreesOfFreedom: number;
}

export interface WelchTest extends Difference {
  readonly t: number;
  /** Two-sided. */
  readonly p: number;
}

/**
 * The difference of two means without the assumption that both scatter alike, with the degrees of freedom of Welch and
 * Satterthwaite.
 *
 * Errors: RangeError with fewer than two values on either side, or where neither scatters.
 */
export function welch(
  a: readonly number[],
  b: readonly number[],
  distributions: Pick<Distributions, 'fUpperTail'>,
): WelchTest {
  if (a.length < 2 || b.length < 2) throw new RangeError('Welch takes at least two values on each side.');
  const parts = [a, b].map((values) => ({
    variance: squaresAboutMean(values) / (values.length - 1) / values.length,
    degreesOfFreedom: values.length - 1,
  }));
  const variance = totalVariance(parts);
  if (!(variance > 0)) throw new RangeError('Welch takes values that scatter.');
  const difference = meanOf(a) - meanOf(b);
  const standardError = Math.sqrt(variance);
  const degreesOfFreedom = welchSatterthwaite(parts);
  const t = difference / standardError;
  return {
    difference,
    standardError,
    degreesOfFreedom,
    t,
    p: distributions.fUpperTail(t * t, 1, degreesOfFreedom),
  };
}

/** The interval that holds the true difference with so much confidence. */
export function intervalOf(
  { difference, standardError, degreesOfFreedom }: Difference,
  confidence: number,
  distributions: Pick<Distributions, 'studentTQuantile'>,
): { readonly low: number; readonly high: number } {
  const half = distributions.studentTQuantile((1 + confidence) / 2, degreesOfFreedom) * standardError;
  return { low: difference - half, high: difference + half };
}
