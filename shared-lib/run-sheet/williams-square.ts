import { createSeededRandom, type SeededRandom } from '../simulation/seeded-random.ts';
import type { Order } from './run-sheet-model.ts';

/**
 * A Williams square: each row an order of `size` setups (numbers from 0), so that each setup stands equally often in each
 * place and comes equally often straight after each other one. An even size takes `size` rows, in which each ordered pair of
 * neighbours occurs once; an odd size takes twice as many, in which each occurs twice (the second half is the first read
 * backwards). Every `size` rows from the top are a Latin square.
 *
 * After E. J. Williams (1949); held to its definition and to published squares in the tests.
 */
export function williamsSquare(size: number): number[][] {
  if (!Number.isInteger(size) || size < 1) throw new RangeError(`There is no square of size ${size}.`);
  // 0, 1, n-1, 2, n-2, ...: its neighbours differ by each number but 0 once (even), or by each and its opposite (odd).
  const firstRow = Array.from({ length: size }, (_, place) =>
    place % 2 === 1 ? (place + 1) / 2 : (size - place / 2) % size,
  );
  const rows = firstRow.map((_, shift) => firstRow.map((label) => (label + shift) % size));
  return size % 2 === 0 || size === 1 ? rows : [...rows, ...rows.map((row) => row.toReversed())];
}

/**
 * For each round the order of the setups, by their place in the list from 0.
 *
 * `rounds`: rows of a Williams square, begun anew when it is used up. The seed says which setup is which number, which half
 * of an odd square comes first, and in which order the rows of a half come; for two that is ABBA ABBA or BAAB BAAB.
 * `blocks`: the same order, drawn by the seed, in all rounds. `asListed`: the list as it is.
 */
export function roundOrders(setupCount: number, rounds: number, order: Order, seed: number): number[][] {
  const listed = Array.from({ length: setupCount }, (_, index) => index);
  if (order === 'asListed') return Array.from({ length: rounds }, () => listed);

  const labels = shuffled(listed, createSeededRandom(seed, LABEL_STREAM));
  if (order === 'blocks') return Array.from({ length: rounds }, () => labels);

  const chance = createSeededRandom(seed, ROW_STREAM);
  const square = williamsSquare(setupCount);
  // Halves stay together: each is a Latin square, so that `setupCount` rounds already put each setup once in each place.
  const halves = shuffled(
    square.length === setupCount ? [square] : [square.slice(0, setupCount), square.slice(setupCount)],
    chance,
  );
  const rows = halves
    .flatMap((half) => shuffled(half, chance))
    .map((row) => row.flatMap((label) => labels[label] ?? []));
  return Array.from({ length: rounds }, (_, round) => rows[round % rows.length] ?? listed);
}

const LABEL_STREAM = 1;
const ROW_STREAM = 2;

/** Fisher and Yates: every order is equally likely. */
function shuffled<Item>(items: readonly Item[], chance: SeededRandom): Item[] {
  const rest = [...items];
  const drawn: Item[] = [];
  while (rest.length > 0) drawn.push(...rest.splice(Math.floor(chance.uniform() * rest.length), 1));
  return drawn;
}
