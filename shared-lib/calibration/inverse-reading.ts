import { AppError } from '../app-error.ts';
import type { Distributions } from './distributions.ts';
import { evaluateFit, type PolynomialFit } from './fit-polynomial.ts';

export interface InverseReading {
  readonly x: number;
  /** Where the band for a single further reading meets the reading: 95 %. */
  readonly lower: number;
  readonly upper: number;
}

const CONFIDENCE = 0.95;

/**
 * From a reading back to what caused it, with its interval: the band of a single further observation about the curve is
 * inverted, so that the curve's own uncertainty and that of the reading are both in it.
 *
 * Shape: the curve rises or falls throughout `range`, which holds the answer and both ends of its interval.
 * Errors: AppError 'input-out-of-range' where it does not.
 * Source: NIST/SEMATECH e-Handbook 4.6.1, checked against its load-cell case study.
 */
export function invertReading(
  fit: PolynomialFit,
  y: number,
  range: { readonly from: number; readonly to: number },
  { studentTQuantile }: Pick<Distributions, 'studentTQuantile'>,
): InverseReading {
  const t = studentTQuantile((1 + CONFIDENCE) / 2, fit.degreesOfFreedom);
  const halfWidth = (x: number): number =>
    t * Math.sqrt(fit.residualStandardDeviation ** 2 + varianceAt(fit, x));
  const direction = Math.sign(evaluateFit(fit, range.to) - evaluateFit(fit, range.from));
  const solve = (curve: (x: number) => number): number => bisect((x) => direction * (curve(x) - y), range);
  return {
    x: solve((x) => evaluateFit(fit, x)),
    lower: solve((x) => evaluateFit(fit, x) + direction * halfWidth(x)),
    upper: solve((x) => evaluateFit(fit, x) - direction * halfWidth(x)),
  };
}

/** Variance of the fitted curve at x. */
function varianceAt({ covariance, model }: PolynomialFit, x: number): number {
  const first = model.throughZero ? 1 : 0;
  const powers = covariance.map((_, index) => x ** (first + index));
  return covariance.reduce(
    (sum, row, i) =>
      sum + row.reduce((part, value, j) => part + value * (powers[i] ?? 0) * (powers[j] ?? 0), 0),
    0,
  );
}

/** The zero of a rising function. */
function bisect(
  f: (x: number) => number,
  { from, to }: { readonly from: number; readonly to: number },
): number {
  let [low, high] = [from, to];
  if (!(f(low) <= 0 && f(high) >= 0)) {
    throw new AppError(
      'input-out-of-range',
      'The reading, or the end of its interval, lies outside the range that was calibrated, so it is not turned back. Nothing was computed.',
    );
  }
  for (;;) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) return middle;
    if (f(middle) < 0) low = middle;
    else high = middle;
  }
}
