import { createSeededRandom } from '../simulation/seeded-random.ts';
import { sumOf } from './sums.ts';

/** With fewer on either side there are too few ways of dealing them out for a small p. */
export const FEWEST_FOR_PERMUTATION = 4;
/** Up to so many ways all are gone through; beyond, so many are drawn. */
const MOST_WAYS = 20_000;
const SEED = 6;

/**
 * How often the values, dealt out to both sides by chance, differ at least as much in their means as they do: two-sided p,
 * exact up to 20 000 ways, else of as many seeded draws (the one that was found counted in). Null with fewer than four on
 * either side.
 */
export function permutationP(a: readonly number[], b: readonly number[]): number | null {
  if (Math.min(a.length, b.length) < FEWEST_FOR_PERMUTATION) return null;
  const all = [...a, ...b];
  const total = sumOf(all);
  const share = a.length / all.length;
  // The difference of means grows with the sum of one side about its share of all.
  const found = Math.abs(sumOf(a) - share * total);
  const isAsFar = (sum: number): boolean => Math.abs(sum - share * total) >= found - 1e-12 * (1 + found);
  return ways(all.length, a.length) <= MOST_WAYS
    ? exactP(all, a.length, isAsFar)
    : drawnP(all, a.length, isAsFar);
}

function ways(count: number, chosen: number): number {
  let product = 1;
  for (let index = 1; index <= chosen; index += 1) product *= (count - chosen + index) / index;
  return product;
}

function exactP(all: readonly number[], count: number, isAsFar: (sum: number) => boolean): number {
  let asFar = 0;
  let seen = 0;
  const choose = (from: number, left: number, sum: number): void => {
    if (left === 0) {
      seen += 1;
      if (isAsFar(sum)) asFar += 1;
      return;
    }
    for (let index = from; index <= all.length - left; index += 1) {
      choose(index + 1, left - 1, sum + (all[index] ?? Number.NaN));
    }
  };
  choose(0, count, 0);
  return asFar / seen;
}

function drawnP(all: readonly number[], count: number, isAsFar: (sum: number) => boolean): number {
  const random = createSeededRandom(SEED, all.length);
  const dealt = [...all];
  let asFar = 1;
  for (let draw = 0; draw < MOST_WAYS; draw += 1) {
    let sum = 0;
    for (let index = 0; index < count; index += 1) {
      const other = index + Math.floor(random.uniform() * (dealt.length - index));
      const taken = dealt[other] ?? Number.NaN;
      dealt[other] = dealt[index] ?? Number.NaN;
      dealt[index] = taken;
      sum += taken;
    }
    if (isAsFar(sum)) asFar += 1;
  }
  return asFar / (MOST_WAYS + 1);
}
