import type { Distributions } from '../calibration/distributions.ts';
import type { Difference } from './welch.ts';

export interface Equivalence {
  /** That the difference lies above `low`, and below `high`: one-sided p of each. */
  readonly pLower: number;
  readonly pUpper: number;
  /** The larger of both. */
  readonly p: number;
  readonly tLower: number;
  readonly tUpper: number;
}

/**
 * Two one-sided tests, whether a difference lies between `low` and `high` (Schuirmann). Both are passed at 5 % exactly where
 * the 90 % interval lies within the limits.
 */
export function tost(
  { difference, standardError, degreesOfFreedom }: Difference,
  limits: { readonly low: number; readonly high: number },
  distributions: Pick<Distributions, 'fUpperTail'>,
): Equivalence {
  const tLower = (difference - limits.low) / standardError;
  const tUpper = (difference - limits.high) / standardError;
  const upperTail = (t: number): number => {
    const twoSided = distributions.fUpperTail(t * t, 1, degreesOfFreedom);
    return t > 0 ? twoSided / 2 : 1 - twoSided / 2;
  };
  const pLower = upperTail(tLower);
  const pUpper = upperTail(-tUpper);
  return { pLower, pUpper, p: Math.max(pLower, pUpper), tLower, tUpper };
}
