import { meanOverChi } from './mean-over-chi.ts';
import { normalCdf, normalDensity } from './normal-distribution.ts';

/**
 * The studentized range: largest minus smallest of K standard normal values, over an independent estimate of their standard
 * deviation with nu degrees of freedom. About eight digits for K from 2 to some hundreds and nu from 1 up.
 */
export function studentizedRangeCdf(q: number, K: number, nu: number): number {
  if (!(K >= 2 && nu > 0)) throw new RangeError(`There is no range of ${K} with ${nu} degrees of freedom.`);
  if (q <= 0) return 0;
  return meanOverChi(nu, (u) => rangeCdf(q * u, K));
}

/** The q with so much probability below it. Errors: RangeError for what is no probability. */
export function studentizedRangeQuantile(p: number, K: number, nu: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`There is no studentized range for probability ${p}.`);
  let low = 0;
  let high = 4;
  while (studentizedRangeCdf(high, K, nu) < p) {
    low = high;
    high *= 2;
    if (high > LARGEST) throw new RangeError(`The range for ${p}, ${K} and ${nu} is too large.`);
  }
  // Regula falsi with halved ends (Illinois): the function is smooth and rises.
  let atLow = low === 0 ? -p : studentizedRangeCdf(low, K, nu) - p;
  let atHigh = studentizedRangeCdf(high, K, nu) - p;
  for (let step = 0; step < MOST_STEPS && high - low > 1e-11 * high; step += 1) {
    const middle = (low * atHigh - high * atLow) / (atHigh - atLow);
    const atMiddle = studentizedRangeCdf(middle, K, nu) - p;
    if (Math.abs(atMiddle) < 1e-13) return middle;
    if (atMiddle < 0) {
      low = middle;
      atLow = atMiddle;
      atHigh /= 2;
    } else {
      high = middle;
      atHigh = atMiddle;
      atLow /= 2;
    }
  }
  return (low + high) / 2;
}

const LARGEST = 1e6;
const MOST_STEPS = 60;

/** Of a known scatter: K times the integral of density(z) (cdf(z) - cdf(z - w))^(K - 1). */
function rangeCdf(w: number, K: number): number {
  if (w > WIDEST) return 1;
  let sum = 0;
  for (let z = -REACH; z <= REACH; z += STEP) {
    sum += normalDensity(z) * (normalCdf(z) - normalCdf(z - w)) ** (K - 1);
  }
  return Math.min(1, K * STEP * sum);
}

const REACH = 8;
/** Trapezoids; the integrand dies out at both ends. */
const STEP = 0.1;
const WIDEST = 30;
