import type { Distributions } from './distributions.ts';
import { incompleteBeta, lnBeta } from './incomplete-beta.ts';

/** Student's t and F, for any positive degrees of freedom. Errors: RangeError for what is no probability or no F. */
export const distributionFunctions: Distributions = { studentTQuantile, fUpperTail };

function studentTQuantile(probability: number, degreesOfFreedom: number): number {
  if (!(probability > 0 && probability < 1 && degreesOfFreedom > 0)) {
    throw new RangeError(
      `There is no t for probability ${probability} and ${degreesOfFreedom} degrees of freedom.`,
    );
  }
  if (probability === 0.5) return 0;
  const t = upperQuantile(Math.min(probability, 1 - probability), degreesOfFreedom);
  return probability < 0.5 ? -t : t;
}

/**
 * The t > 0 with so much probability above it, by Newton's steps on ln t within a bracket. Near the middle by the
 * probability between -t and t, where the tail would lose its digits.
 */
function upperQuantile(tail: number, df: number): number {
  const isNearMiddle = tail > 0.25;
  const wanted = isNearMiddle ? 1 - 2 * tail : 2 * tail;
  const rises = isNearMiddle ? 1 : -1;
  let low = 1e-300;
  let high = 1;
  while (rises * (twoSided(high, df, isNearMiddle) - wanted) < 0) {
    low = high;
    high *= 2;
    if (high === Infinity) {
      throw new RangeError(`The t for a tail of ${tail} and ${df} degrees of freedom is too large.`);
    }
  }
  let t = isNearMiddle ? Math.min(high, wanted) : high;
  for (let step = 0; step < MOST_STEPS; step += 1) {
    const found = twoSided(t, df, isNearMiddle);
    if (rises * (found - wanted) < 0) low = t;
    else high = t;
    // d(ln found) / d(ln t), twice the density as both sides count.
    const slope = (rises * 2 * t * density(t, df)) / found;
    const next = t * Math.exp(Math.log(wanted / found) / slope);
    const isInside = next > low && next < high;
    const following = isInside ? next : Math.sqrt(low * high);
    if (Math.abs(following / t - 1) < 2 * Number.EPSILON) return following;
    t = following;
  }
  return t;
}

const MOST_STEPS = 2200;

/** P(|T| <= t), or P(|T| > t). */
function twoSided(t: number, df: number, isBetween: boolean): number {
  const squared = t * t;
  const beyond = df / (df + squared);
  const between = squared === Infinity ? 1 : squared / (df + squared);
  return isBetween
    ? incompleteBeta(between, beyond, 0.5, df / 2)
    : incompleteBeta(beyond, between, df / 2, 0.5);
}

function density(t: number, df: number): number {
  return Math.exp(-lnBeta(df / 2, 0.5) - ((df + 1) / 2) * Math.log1p((t * t) / df)) / Math.sqrt(df);
}

function fUpperTail(f: number, numeratorDf: number, denominatorDf: number): number {
  if (!(f >= 0 && numeratorDf > 0 && denominatorDf > 0)) {
    throw new RangeError(
      `There is no tail for F ${f} with ${numeratorDf} and ${denominatorDf} degrees of freedom.`,
    );
  }
  if (f === Infinity) return 0;
  const sum = denominatorDf + numeratorDf * f;
  return incompleteBeta(denominatorDf / sum, (numeratorDf * f) / sum, denominatorDf / 2, numeratorDf / 2);
}
