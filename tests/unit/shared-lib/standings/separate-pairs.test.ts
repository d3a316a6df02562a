import { describe, expect, it } from 'vitest';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import { createPairStatistics, criticalValueOf } from '../../../../shared-lib/standings/separate-pairs.ts';

const COUNT = 5;
/** Two batches of eight and five more. */
const DRAWS = 21;

const random = createSeededRandom(3, 1);
/** The last two differ by a constant, so that their difference does not scatter. */
const draws = Array.from({ length: DRAWS }, () => {
  const own = Array.from({ length: COUNT - 1 }, (_, k) => k + 2 * random.gaussian());
  return Float64Array.of(...own, (own[COUNT - 2] ?? NaN) + 4);
});
const pairs = Array.from({ length: COUNT }, (_, i) => i).flatMap((i) =>
  Array.from({ length: COUNT - 1 - i }, (_, offset): [number, number] => [i, i + 1 + offset]),
);
const differences = (i: number, j: number): number[] =>
  draws.map((draw) => (draw[i] ?? NaN) - (draw[j] ?? NaN));
/** Two passes, of what is counted rather than of a sample. */
function standardDeviation(values: readonly number[]): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
}
const statisticsWith = (closed: readonly (readonly [number, number])[] = []) => {
  const isOpen = new Uint8Array(COUNT * COUNT).fill(1);
  for (const [i, j] of closed) isOpen[i * COUNT + j] = 0;
  const statistics = createPairStatistics(COUNT, isOpen, new Float64Array(COUNT).fill(100));
  for (const draw of draws) statistics.addPlain(draw);
  statistics.finishErrors();
  return statistics;
};

describe('the largest standardised difference of a draw', () => {
  it('may be that of one in the middle, where its difference to the last scatters little', () => {
    // Differences scatter by 0.5 (first and second, first and third) and 1: 1 / 0.5, 9 / 0.5 and 10 / 1.
    const statistics = createPairStatistics(3, new Uint8Array(9).fill(1), new Float64Array(3).fill(100));
    for (const sign of [1, -1]) statistics.addPlain(Float64Array.of(0.5 * sign, sign, 0));
    statistics.finishErrors();
    expect(statistics.largest(Float64Array.of(4, 5, -5))).toBeCloseTo(18, 12);
    expect(statistics.largest(Float64Array.of(-4, -5, 5))).toBeCloseTo(18, 12);
  });
});

describe('the statistics of all pairs', () => {
  it('hold the standard deviation of each difference, whatever its mean and however many draws there are', () => {
    const statistics = statisticsWith();
    for (const [i, j] of pairs.slice(0, -1)) {
      const expected = standardDeviation(differences(i, j));
      expect(statistics.error(i, j) / expected, `${i} and ${j}`).toBeCloseTo(1, 12);
      expect(statistics.error(j, i)).toBe(statistics.error(i, j));
    }
  });

  it('take for no scatter what rounding leaves of it', () => {
    expect(statisticsWith().error(COUNT - 2, COUNT - 1)).toBe(0);
  });

  it.each([
    [[]],
    [
      [
        [0, 1],
        [1, 3],
        [0, 4],
      ] as const,
    ],
  ])(
    'find the largest standardised difference of a draw among the pairs that are open: all but %j',
    (closed) => {
      const statistics = statisticsWith(closed);
      for (const draw of draws) {
        const ratios = pairs
          .filter(([i, j]) => statistics.error(i, j) > 0 && !closed.some(([a, b]) => a === i && b === j))
          .map(([i, j]) => Math.abs((draw[i] ?? NaN) - (draw[j] ?? NaN)) / statistics.error(i, j));
        expect(statistics.largest(draw) / Math.max(...ratios)).toBeCloseTo(1, 12);
      }
    },
  );
});

describe('the critical value', () => {
  it('is the 95th percentile of the largest, whatever their order', () => {
    // Type 7 of 0 to 40: 0.95 times 40.
    expect(criticalValueOf(Float64Array.from({ length: 41 }, (_, index) => (index * 7) % 41))).toBeCloseTo(
      38,
      12,
    );
  });
});
