import type { SeededRandom } from '../simulation/seeded-random.ts';

/**
 * A chi-square draw over its degrees of freedom, through the gamma draw of Marsaglia and Tsang (2000, "A simple method
 * for generating gamma variables"; from memory, mean and variance are checked by tests). Any degrees of freedom above 0.
 */
export function drawChiSquareOverDegrees(degreesOfFreedom: number, random: SeededRandom): number {
  const shape = degreesOfFreedom / 2;
  // Below 1 the method does not hold; a power of a uniform draw brings the shape down by 1.
  if (shape < 1) {
    const boost = Math.pow(1 - random.uniform(), 1 / shape);
    return (drawGamma(shape + 1, random) * boost) / shape;
  }
  return drawGamma(shape, random) / shape;
}

function drawGamma(shape: number, random: SeededRandom): number {
  const d = shape - 1 / 3;
  const c = 1 / Math.sqrt(9 * d);
  for (;;) {
    const x = random.gaussian();
    const v = (1 + c * x) ** 3;
    if (v <= 0) continue;
    const u = 1 - random.uniform();
    // Their squeeze: nearly always it decides as the exact condition would, without a logarithm.
    if (u < 1 - 0.0331 * x ** 4) return d * v;
    if (Math.log(u) < 0.5 * x * x + d - d * v + d * Math.log(v)) return d * v;
  }
}
