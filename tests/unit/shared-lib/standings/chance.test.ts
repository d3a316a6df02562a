import { describe, expect, it } from 'vitest';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import { drawChiSquareOverDegrees } from '../../../../shared-lib/standings/draw-chi-square.ts';
import { fillNormals } from '../../../../shared-lib/standings/draw-normal.ts';
import { lowerTriangle } from '../../../../shared-lib/standings/scatter-of-measures.ts';

const COUNT = 100_000;
const mean = (values: Float64Array): number => values.reduce((sum, value) => sum + value, 0) / values.length;

describe('normal draws', () => {
  const draws = new Float64Array(COUNT);
  fillNormals(draws, createSeededRandom(4, 1));

  it('have mean 0, variance 1, no skewness and a fourth moment of 3', () => {
    const moment = (power: number): number => mean(draws.map((value) => value ** power));
    // Five standard errors each: of the k-th power they are the root of E z^2k over n.
    expect(Math.abs(moment(1))).toBeLessThan(5 * Math.sqrt(1 / COUNT));
    expect(Math.abs(moment(2) - 1)).toBeLessThan(5 * Math.sqrt(2 / COUNT));
    expect(Math.abs(moment(3))).toBeLessThan(5 * Math.sqrt(15 / COUNT));
    expect(Math.abs(moment(4) - 3)).toBeLessThan(5 * Math.sqrt(96 / COUNT));
  });

  it.each([
    // Two-sided tail probabilities of the normal distribution (tables); the last lies beyond the ziggurat's base.
    [1, 0.3173105],
    [1.959964, 0.05],
    [3, 0.0026998],
    [3.6, 0.00031822],
  ])('lie beyond ±%f as often as they should', (limit, probability) => {
    const share = draws.filter((value) => Math.abs(value) > limit).length / COUNT;
    expect(Math.abs(share - probability)).toBeLessThan(5 * Math.sqrt(probability / COUNT));
  });
});

describe('chi-square draws over their degrees of freedom', () => {
  it.each([1, 2, 3, 20, 400])('have mean 1 and variance 2/ν with ν = %d', (degreesOfFreedom) => {
    const random = createSeededRandom(7, degreesOfFreedom);
    const draws = Float64Array.from({ length: COUNT }, () =>
      drawChiSquareOverDegrees(degreesOfFreedom, random),
    );
    const variance = mean(draws.map((value) => (value - 1) ** 2));
    expect(Math.abs(mean(draws) - 1)).toBeLessThan(5 * Math.sqrt(2 / degreesOfFreedom / COUNT));
    // Of a gamma distribution of shape a the fourth central moment over the squared variance is 3 + 6/a.
    const spread = Math.sqrt((2 + 12 / degreesOfFreedom) / COUNT);
    expect(Math.abs(variance / (2 / degreesOfFreedom) - 1)).toBeLessThan(5 * spread);
  });
});

describe('the lower triangle of correlations', () => {
  it('multiplies back to them', () => {
    const matrix = [
      [1, 0.8, -0.3],
      [0.8, 1, 0.1],
      [-0.3, 0.1, 1],
    ];
    const lower = lowerTriangle(matrix);
    for (const [i, row] of matrix.entries()) {
      for (const [j, wanted] of row.entries()) {
        expect(lower[i]!.reduce((sum, value, k) => sum + value * lower[j]![k]!, 0)).toBeCloseTo(wanted, 12);
      }
    }
  });

  it('stays one of standard normal draws where the entries cannot be correlations at once', () => {
    const lower = lowerTriangle([
      [1, 1, -1],
      [1, 1, 1],
      [-1, 1, 1],
    ]);
    for (const row of lower) expect(Math.hypot(...row)).toBeCloseTo(1, 12);
  });
});
