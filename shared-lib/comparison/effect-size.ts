import { lnBeta } from '../calibration/incomplete-beta.ts';
import { meanOf, squaresAboutMean } from './sums.ts';

/** With fewer on either side an effect size says more of chance than of the tools. */
export const FEWEST_FOR_EFFECT_SIZE = 5;

/**
 * Hedges' g: the difference of means in pooled standard deviations, without the bias that few values have. Null with fewer
 * than five values on either side, or where nothing scatters.
 */
export function hedgesG(a: readonly number[], b: readonly number[]): number | null {
  if (Math.min(a.length, b.length) < FEWEST_FOR_EFFECT_SIZE) return null;
  const degreesOfFreedom = a.length + b.length - 2;
  const pooled = Math.sqrt((squaresAboutMean(a) + squaresAboutMean(b)) / degreesOfFreedom);
  if (!(pooled > 0)) return null;
  return (hedgesCorrection(degreesOfFreedom) * (meanOf(a) - meanOf(b))) / pooled;
}

/**
 * The exact factor, Gamma(nu / 2) / (sqrt(nu / 2) Gamma((nu - 1) / 2)), about 1 - 3 / (4 nu - 1). By the beta function,
 * in which the gamma functions do not overflow.
 */
export function hedgesCorrection(degreesOfFreedom: number): number {
  return Math.sqrt((2 * Math.PI) / degreesOfFreedom) * Math.exp(-lnBeta((degreesOfFreedom - 1) / 2, 1 / 2));
}
