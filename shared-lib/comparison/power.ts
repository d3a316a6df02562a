import type { Distributions } from '../calibration/distributions.ts';
import { cautiousDegreesOfFreedom, totalVariance, type VariancePart } from './combine-variances.ts';
import { meanOverChi } from './mean-over-chi.ts';
import { normalCdf } from './normal-distribution.ts';

/** Probability of a noncentral t at most `t`: (z + delta) / sqrt(chi2(nu) / nu). */
export function noncentralTCdf(t: number, degreesOfFreedom: number, noncentrality: number): number {
  return meanOverChi(degreesOfFreedom, (u) => normalCdf(t * u - noncentrality));
}

/** Of a difference of means, as it truly is. */
export interface TrueDifference {
  readonly difference: number;
  /** True standard error of the difference of means. */
  readonly standardError: number;
  /** By which the scatter is estimated. */
  readonly degreesOfFreedom: number;
}

/** In what share of cases the interval of so much confidence leaves out zero (two-sided t test, exact). */
export function powerOfTTest(
  { difference, standardError, degreesOfFreedom }: TrueDifference,
  confidence: number,
  distributions: Pick<Distributions, 'studentTQuantile'>,
): number {
  const critical = distributions.studentTQuantile((1 + confidence) / 2, degreesOfFreedom);
  const noncentrality = difference / standardError;
  return meanOverChi(
    degreesOfFreedom,
    (u) => normalCdf(noncentrality - critical * u) + normalCdf(-noncentrality - critical * u),
  );
}

/** In what share of cases the interval of 2 x confidence - 1 lies within -limit to +limit (two one-sided tests, exact). */
export function powerOfTost(
  { difference, standardError, degreesOfFreedom }: TrueDifference,
  limit: number,
  confidence: number,
  distributions: Pick<Distributions, 'studentTQuantile'>,
): number {
  const critical = distributions.studentTQuantile(confidence, degreesOfFreedom);
  return meanOverChi(degreesOfFreedom, (u) => {
    // The scatter as it was estimated in this case; from some size on no difference is level.
    const room = limit / standardError - critical * u;
    if (room <= 0) return 0;
    const centre = difference / standardError;
    return normalCdf(room - centre) - normalCdf(-room - centre);
  });
}

/**
 * The fewest rounds, up to `most`, in which a true difference is found in so many of cases; null where it takes more.
 * `lasting`: what days and calibrations add to the squared standard error, which no number of rounds lessens.
 */
export function roundsForPower(
  question: {
    readonly setupCount: number;
    readonly scatter: number;
    readonly difference: number;
    readonly confidence: number;
    readonly power: number;
    readonly most: number;
    readonly lasting: readonly VariancePart[];
  },
  distributions: Pick<Distributions, 'studentTQuantile'>,
): number | null {
  const { setupCount, scatter, difference, confidence, power, most, lasting } = question;
  const isEnough = (rounds: number): boolean => {
    const own = {
      variance: (2 * scatter ** 2) / rounds,
      degreesOfFreedom: (setupCount - 1) * (rounds - 1),
    };
    const parts = [own, ...lasting];
    const standardError = Math.sqrt(totalVariance(parts));
    const degreesOfFreedom =
      lasting.length === 0 ? own.degreesOfFreedom : cautiousDegreesOfFreedom(parts, distributions);
    return powerOfTTest({ difference, standardError, degreesOfFreedom }, confidence, distributions) >= power;
  };
  if (!isEnough(most)) return null;
  // Power grows with each round, so that halving finds the first that has enough.
  let tooFew = 1;
  let enough = most;
  while (enough - tooFew > 1) {
    const middle = Math.floor((tooFew + enough) / 2);
    if (isEnough(middle)) enough = middle;
    else tooFew = middle;
  }
  return enough;
}
