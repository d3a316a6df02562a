import { competitionPlaces } from '../comparison/rank-with-ties.ts';
import { mainScheme, roundTotal, type ScoredInput } from './score-input.ts';
import { finalPoints, LEFT_OUT, SCORED } from './score-terms.ts';

/** Totals of the ranked as functions of the factors of the table's scheme. Contenders by place in `keys`. */
export interface FactorModel {
  readonly factors: readonly number[];
  /** With one factor at another value. NaN: no total, since the factors that take part would not sum to more than zero. */
  totalsAt(term: number, factor: number): Float64Array;
  totalsFor(factors: ArrayLike<number>): Float64Array;
  /**
   * The factor of a term, on the way from its own to `limit`, from which on i and j stand otherwise to each other than now;
   * its own where they are equal now and any change parts them; null where they never do.
   */
  firstSwap(term: number, i: number, j: number, limit: number): number | null;
}

/** a + b f over c + d f, between two kinks. */
interface Line {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly d: number;
}

export function createFactorModel(scored: ScoredInput, keys: readonly string[]): FactorModel {
  const { scheme, columns } = mainScheme(scored);
  const placeOf = new Map(scored.field.subjects.map(({ contender }, k) => [contender.key, k]));
  const places = keys.map((key) => placeOf.get(key) ?? -1);
  const terms = scheme.terms.map(({ term }) => term);
  const { isNormalised } = scheme.version;
  const factors = terms.map(({ factor }) => factor);
  const parts = terms.map((_term, index) =>
    Uint8Array.from(places, (k) => columns.parts[index]?.[k] ?? LEFT_OUT),
  );
  // What counts as zero has no points of its own.
  const raws = terms.map((_term, index) =>
    Float64Array.from(places, (k, i) =>
      parts[index]?.[i] === SCORED ? (columns.rawPoints[index]?.[k] ?? Number.NaN) : 0,
    ),
  );
  const part = (term: number, i: number): number => parts[term]?.[i] ?? LEFT_OUT;
  const raw = (term: number, i: number): number => raws[term]?.[i] ?? Number.NaN;

  const totalsFor = (others: ArrayLike<number>): Float64Array => {
    const totals = new Float64Array(places.length);
    for (let i = 0; i < totals.length; i += 1) {
      let sum = 0;
      let divisor = 0;
      let size = 0;
      for (let index = 0; index < terms.length; index += 1) {
        if (part(index, i) === LEFT_OUT) continue;
        const factor = others[index] ?? 0;
        sum += finalPoints(raw(index, i), factor, terms[index]?.cap ?? null);
        divisor += factor;
        size += Math.abs(factor);
      }
      if (!isNormalised) totals[i] = sum;
      else totals[i] = divisor > 1e-12 * size ? sum / divisor : Number.NaN;
    }
    return totals;
  };
  const roundedNow = totalsFor(factors).map(roundTotal);

  /** What all terms but one bring, and the sum of their factors. */
  const restOf = (term: number, i: number): { points: number; divisor: number } => {
    let points = 0;
    let divisor = 0;
    for (const [index, { factor, cap }] of terms.entries()) {
      if (index === term || part(index, i) === LEFT_OUT) continue;
      points += finalPoints(raw(index, i), factor, cap);
      divisor += factor;
    }
    return { points, divisor };
  };

  const lineOf = (term: number, i: number, near: number): Line => {
    const { points, divisor } = restOf(term, i);
    const cap = terms[term]?.cap ?? Infinity;
    const own = raw(term, i);
    const isCapped = own * near > cap;
    const denominator = isNormalised ? { c: divisor, d: part(term, i) === LEFT_OUT ? 0 : 1 } : { c: 1, d: 0 };
    return { a: points + (isCapped ? cap : 0), b: isCapped ? 0 : own, ...denominator };
  };

  return {
    factors,
    totalsFor,
    totalsAt: (term, factor) => totalsFor(factors.map((own, index) => (index === term ? factor : own))),
    firstSwap(term, i, j, limit) {
      const from = factors[term] ?? 0;
      if (from === limit) return null;
      const cap = terms[term]?.cap ?? null;
      const kinks =
        cap === null
          ? []
          : [i, j].map((place) => cap / raw(term, place)).filter((kink) => isBetween(kink, from, limit));
      const stops = [from, ...kinks.toSorted((a, b) => Math.abs(a - from) - Math.abs(b - from)), limit];
      const now = Math.sign((roundedNow[i] ?? 0) - (roundedNow[j] ?? 0));
      for (const [index, start] of stops.slice(0, -1).entries()) {
        const end = stops[index + 1] ?? limit;
        const middle = (start + end) / 2;
        const swap = swapWithin(lineOf(term, i, middle), lineOf(term, j, middle), { start, end, now });
        if (swap !== null) return swap;
      }
      return null;
    },
  };
}

/** Null where there is no total. */
export function placesOf(totals: Float64Array): (number | null)[] {
  const rounded = Array.from(totals, roundTotal);
  const places = competitionPlaces(
    rounded.filter((total) => !Number.isNaN(total)),
    'more',
  );
  let next = 0;
  return rounded.map((total) => {
    if (Number.isNaN(total)) return null;
    next += 1;
    return places[next - 1] ?? null;
  });
}

/** Of two quotients without a kink between: where the sign of their difference becomes another than `now`. */
function swapWithin(
  one: Line,
  other: Line,
  { start, end, now }: { readonly start: number; readonly end: number; readonly now: number },
): number | null {
  // Over the common denominator, which is positive wherever both have a total.
  const terms = [
    [one.a * other.c, other.a * one.c],
    [one.a * other.d + one.b * other.c, other.a * one.d + other.b * one.c],
    [one.b * other.d, other.b * one.d],
  ].map(([mine, theirs]) => difference(mine ?? 0, theirs ?? 0));
  const [constant = 0, linear = 0, square = 0] = terms;
  if (constant === 0 && linear === 0 && square === 0) return now === 0 ? null : start;
  if (now === 0) return start;
  const roots = rootsOf(square, linear, constant)
    .filter((root) => isBetween(root, start, end))
    .sort((a, b) => Math.abs(a - start) - Math.abs(b - start));
  for (const [index, root] of roots.entries()) {
    const probe = (root + (roots[index + 1] ?? end)) / 2;
    const value = (square * probe + linear) * probe + constant;
    if (Math.sign(value) !== now && hasTotals(one, other, probe)) return root;
  }
  return null;
}

function hasTotals(one: Line, other: Line, factor: number): boolean {
  return one.c + one.d * factor > 0 && other.c + other.d * factor > 0;
}

/** Zero where rounding alone parts the two. */
function difference(mine: number, theirs: number): number {
  const value = mine - theirs;
  return Math.abs(value) <= 1e-12 * Math.max(Math.abs(mine), Math.abs(theirs)) ? 0 : value;
}

function rootsOf(square: number, linear: number, constant: number): number[] {
  if (square === 0) return linear === 0 ? [] : [-constant / linear];
  const discriminant = linear * linear - 4 * square * constant;
  if (discriminant < 0) return [];
  // The form that loses no digits where the two roots differ much.
  const q = -0.5 * (linear + (linear < 0 ? -1 : 1) * Math.sqrt(discriminant));
  return q === 0 ? [0] : [q / square, constant / q];
}

function isBetween(value: number, start: number, end: number): boolean {
  return value > Math.min(start, end) && value < Math.max(start, end);
}
