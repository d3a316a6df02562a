import { describe, expect, it } from 'vitest';
import { roundOrders, williamsSquare } from '../../../../shared-lib/run-sheet/williams-square.ts';
import published from '../../../fixtures/reference-values/williams-square.json' with { type: 'json' };

/** How often each ordered pair stands side by side, over all rows. */
function neighbours(rows: readonly (readonly number[])[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const row of rows) {
    for (const [place, label] of row.entries()) {
      const next = row[place + 1];
      if (next === undefined) continue;
      const pair = `${label} ${next}`;
      counts.set(pair, (counts.get(pair) ?? 0) + 1);
    }
  }
  return counts;
}
const numbers = (count: number): number[] => Array.from({ length: count }, (_, index) => index);
const sizes = numbers(21).slice(2);
const letters = (rows: readonly (readonly number[])[]): string =>
  rows.map((row) => row.map((label) => 'ABCDEFGHIJ'[label] ?? '?').join('')).join(' ');

describe('a Williams square', () => {
  it.each(sizes)(
    'of %i has each setup once in a row and each ordered pair of neighbours equally often',
    (size) => {
      const rows = williamsSquare(size);
      expect(rows).toHaveLength(size % 2 === 0 ? size : 2 * size);
      for (const row of rows) expect(row.toSorted((a, b) => a - b)).toEqual(numbers(size));
      const counts = neighbours(rows);
      expect(counts.size).toBe(size * (size - 1));
      expect(new Set(counts.values())).toEqual(new Set([size % 2 === 0 ? 1 : 2]));
    },
  );

  it.each(sizes)('of %i puts each setup equally often in each place, already within a half of it', (size) => {
    const rows = williamsSquare(size);
    for (let first = 0; first < rows.length; first += size) {
      for (const place of numbers(size)) {
        const column = rows.slice(first, first + size).map((row) => row[place]);
        expect(new Set(column).size).toBe(size);
      }
    }
  });

  it('is the published one for 3, 7 and 10 (crossdes, after Williams 1949)', () => {
    const countedFrom1 = (size: number): number[][] =>
      williamsSquare(size).map((row) => row.map((label) => label + 1));
    // Rows may stand in any order: those of the mirrored half do.
    const sorted = (rows: readonly (readonly number[])[]): string[] =>
      rows.map((row) => row.join(' ')).toSorted();
    expect(sorted(countedFrom1(3))).toEqual(sorted(published.three));
    expect(countedFrom1(7).slice(0, 7)).toEqual(published.sevenFirstHalf);
    expect(countedFrom1(10).slice(0, 6)).toEqual(published.tenFirstRows);
  });

  it('has no size 0 and no half sizes', () => {
    expect(() => williamsSquare(0)).toThrow(RangeError);
    expect(() => williamsSquare(2.5)).toThrow(RangeError);
    expect(williamsSquare(1)).toEqual([[0]]);
  });
});

describe('the order of rounds', () => {
  it('is ABBA ABBA or BAAB BAAB for two setups, as the seed will have it', () => {
    const orders = numbers(20).map((seed) => letters(roundOrders(2, 4, 'rounds', seed)));
    expect(new Set(orders)).toEqual(new Set(['AB BA AB BA', 'BA AB BA AB']));
  });

  it('is the same for the same seed, and another for another', () => {
    expect(roundOrders(6, 6, 'rounds', 4_294_967_295)).toEqual(roundOrders(6, 6, 'rounds', 4_294_967_295));
    const orders = numbers(40).map((seed) => letters(roundOrders(6, 6, 'rounds', seed)));
    expect(new Set(orders).size).toBe(40);
  });

  it.each([3, 4, 5, 6])(
    'of %i setups stays balanced when it is shuffled, and begins anew when it is used up',
    (size) => {
      const whole = size % 2 === 0 ? size : 2 * size;
      for (const seed of [0, 1, 17, 2 ** 32 - 1]) {
        const orders = roundOrders(size, 2 * whole, 'rounds', seed);
        expect(new Set(neighbours(orders.slice(0, whole)).values()).size).toBe(1);
        expect(orders.slice(whole)).toEqual(orders.slice(0, whole));
        for (const place of numbers(size)) {
          expect(new Set(orders.slice(0, size).map((row) => row[place])).size).toBe(size);
        }
      }
    },
  );

  it('gives each of three setups each place equally often over many seeds', () => {
    const firsts = numbers(3000).map((seed) => roundOrders(3, 1, 'rounds', seed)[0]?.[0]);
    for (const setup of [0, 1, 2]) {
      const share = firsts.filter((first) => first === setup).length / firsts.length;
      // Four standard deviations of a third of 3000.
      expect(Math.abs(share - 1 / 3)).toBeLessThan(0.035);
    }
  });

  it('is the list as it is, whatever the seed, or one drawn order for all rounds of blocks', () => {
    expect(roundOrders(3, 2, 'asListed', 5)).toEqual([
      [0, 1, 2],
      [0, 1, 2],
    ]);
    const blocks = numbers(30).map((seed) => roundOrders(3, 2, 'blocks', seed));
    for (const [first, second] of blocks) expect(second).toEqual(first);
    expect(new Set(blocks.map(([first]) => letters([first ?? []]))).size).toBe(6);
  });
});
