/**
 * The mean of `g(u)` where u = sqrt(chi2(nu) / nu) is how an estimated standard deviation lies to the true one: from the
 * distribution with a known scatter to the one with a scatter of nu degrees of freedom. `g` smooth and between 0 and 1.
 *
 * Trapezoids on ln u, which converge faster than any power for a smooth integrand that dies out at both ends; the density is
 * normalised by the same sum, so that it needs no gamma function. About 1e-12 for nu from 1 up.
 */
export function meanOverChi(degreesOfFreedom: number, g: (u: number) => number): number {
  if (!(degreesOfFreedom > 0)) throw new RangeError(`There are no ${degreesOfFreedom} degrees of freedom.`);
  if (degreesOfFreedom > KNOWN_SCATTER_FROM) return g(1);
  let sum = 0;
  let weights = 0;
  // The density of v = ln u is proportional to exp(nu (v - exp(2 v) / 2)), highest at v = 0.
  const lnWeight = (v: number): number => degreesOfFreedom * (v - (Math.exp(2 * v) - 1) / 2);
  const spread = 1 / Math.sqrt(2 * degreesOfFreedom);
  const step = Math.min(spread, MOST_SPREAD) / STEPS_PER_SPREAD;
  const add = (v: number): boolean => {
    const exponent = lnWeight(v);
    if (exponent < SMALLEST_EXPONENT) return false;
    const weight = Math.exp(exponent);
    weights += weight;
    sum += weight * g(Math.exp(v));
    return true;
  };
  add(0);
  for (let index = 1; add(index * step); index += 1);
  for (let index = 1; add(-index * step); index += 1);
  return sum / weights;
}

const KNOWN_SCATTER_FROM = 1e8;
const MOST_SPREAD = 0.4;
const STEPS_PER_SPREAD = 2.5;
const SMALLEST_EXPONENT = -36;
