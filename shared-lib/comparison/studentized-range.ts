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
  // Illinois' rule on ln(tail) over ln q, which is nearly straight where it is wanted.
  const missedBy = (lnQ: number): number =>
    Math.log(Math.max(1 - studentizedRangeCdf(Math.exp(lnQ), K, nu), Number.EPSILON) / (1 - p));
  let [low, high] = [1, 1.4];
  let [atLow, atHigh] = [missedBy(low), missedBy(high)];
  while (atLow < 0) {
    [high, atHigh] = [low, atLow];
    low -= 0.4;
    atLow = missedBy(low);
  }
  while (atHigh > 0) {
    [low, atLow] = [high, atHigh];
    high += 0.4;
    if (high > LARGEST) throw new RangeError(`The range for ${p}, ${K} and ${nu} is too large.`);
    atHigh = missedBy(high);
  }
  let wasLow: boolean | null = null;
  for (let step = 0; step < MOST_STEPS; step += 1) {
    const middle = (low * atHigh - high * atLow) / (atHigh - atLow);
    const atMiddle = missedBy(middle);
    if (Math.abs(atMiddle) < 1e-11 || high - low < 1e-13) return Math.exp(middle);
    const isLow = atMiddle > 0;
    if (isLow) [low, atLow] = [middle, atMiddle];
    else [high, atHigh] = [middle, atMiddle];
    if (isLow === wasLow) {
      if (isLow) atHigh /= 2;
      else atLow /= 2;
    }
    wasLow = isLow;
  }
  throw new RangeError(`The range for ${p}, ${K} and ${nu} was not reached.`);
}

/** Of ln q. */
const LARGEST = 14;
const MOST_STEPS = 100;

/** Of a known scatter: K times the integral of density(z) (cdf(z) - cdf(z - w))^(K - 1), z being the largest. */
function rangeCdf(w: number, K: number): number {
  if (w > WIDEST) return 1;
  let sum = 0;
  for (const { z, density, below } of NODES) sum += density * (below - normalCdf(z - w)) ** (K - 1);
  return Math.min(1, K * STEP * sum);
}

/** Trapezoids; the integrand dies out at both ends. */
const STEP = 0.2;
const REACH = 8;
const NODES = Array.from({ length: Math.round((2 * REACH) / STEP) + 1 }, (_, index) => {
  const z = index * STEP - REACH;
  return { z, density: normalDensity(z), below: normalCdf(z) };
});
const WIDEST = 30;
