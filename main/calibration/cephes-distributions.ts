import { compiled, incbet, incbi } from 'cephes';
import type { Distributions } from '../../shared-lib/calibration/distributions.ts';

/**
 * Distribution functions from the incomplete beta function of Cephes, which takes any degrees of freedom; its own
 * functions for t and F take whole ones only.
 */
export async function loadDistributions(): Promise<Distributions> {
  await compiled;
  return { studentTQuantile, fUpperTail };
}

function studentTQuantile(probability: number, degreesOfFreedom: number): number {
  if (!(probability > 0 && probability < 1 && degreesOfFreedom > 0)) {
    throw new RangeError(
      `There is no t for probability ${probability} and ${degreesOfFreedom} degrees of freedom.`,
    );
  }
  if (probability === 0.5) return 0;
  const tail = Math.min(probability, 1 - probability);
  // P(|T| > t) = I_x(nu/2, 1/2) with x = nu / (nu + t^2); near the middle by 1 - x, where x would lose its digits.
  const half = degreesOfFreedom / 2;
  const isNearMiddle = tail > 0.25;
  const x = isNearMiddle ? incbi(0.5, half, 1 - 2 * tail) : incbi(half, 0.5, 2 * tail);
  const t = Math.sqrt(degreesOfFreedom * (isNearMiddle ? x / (1 - x) : (1 - x) / x));
  return probability < 0.5 ? -t : t;
}

function fUpperTail(f: number, numeratorDf: number, denominatorDf: number): number {
  if (!(f >= 0 && numeratorDf > 0 && denominatorDf > 0)) {
    throw new RangeError(
      `There is no tail for F ${f} with ${numeratorDf} and ${denominatorDf} degrees of freedom.`,
    );
  }
  return incbet(denominatorDf / 2, numeratorDf / 2, denominatorDf / (denominatorDf + numeratorDf * f));
}
