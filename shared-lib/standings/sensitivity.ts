import { createSeededRandom } from '../simulation/seeded-random.ts';
import { formatNumber, formatQuantity } from '../format-quantity.ts';
import type { WorkInPieces } from '../work-in-pieces.ts';
import { createFactorModel, placesOf, type FactorModel } from './factor-model.ts';
import { mainScheme, roundTotal, scoreInput } from './score-input.ts';
import type { Term } from './scheme-model.ts';
import type { Sensitivity, Standings, StandingsInput } from './standings-model.ts';
import { formatFactor, listInWords, quoted } from './term-words.ts';

type TermSensitivity = Sensitivity['terms'][number];

/** How far a factor is followed, times itself. */
const FARTHEST = 10;
/** Between two of them others have their turn. */
const WEIGHTINGS_AT_ONCE = 20;

/**
 * What other factors would make of the order. Swap factors are exact: between two of them every total is a straight line in
 * the factor, or a quotient of two where totals are normalised.
 *
 * The random weightings multiply each factor by a share of the simplex, all as likely, so that they do not depend on how
 * factor and points of a term were split; a shared first place counts in parts.
 */
export function* findSensitivity(
  input: StandingsInput,
  standings: Standings,
  { seed, weightingCount }: { readonly seed: number; readonly weightingCount: number },
): WorkInPieces<Sensitivity> {
  const scored = scoreInput(input);
  const { scheme } = mainScheme(scored);
  const keys = standings.rows.map(({ contender }) => contender.key);
  yield;
  const model = createFactorModel(scored, keys);
  const terms: TermSensitivity[] = [];
  for (const [index, { term }] of scheme.terms.entries()) {
    terms.push(sensitivityOf(model, index, term, keys));
    yield;
  }
  const firstShares = yield* drawFirstShares(model, keys, seed, weightingCount);
  return {
    terms,
    firstShares,
    weightingCount,
    seed,
    sentences: describe(standings, model, terms, firstShares, weightingCount),
  };
}

function sensitivityOf(
  model: FactorModel,
  index: number,
  term: Term,
  keys: readonly string[],
): TermSensitivity {
  const { factor } = term;
  const places = placesOf(model.totalsAt(index, factor));
  const leaders = keys.flatMap((_key, i) => (places[i] === 1 ? [i] : []));
  const followers = keys.flatMap((_key, i) => (places[i] === 1 ? [] : [i]));
  // Totals are continuous, so the first two to swap are neighbours.
  const neighbours = keys.slice(1).map((_key, i): [number, number] => [i, i + 1]);
  const withLeaders = [
    ...leaders.slice(1).map((leader, i): [number, number] => [leaders[i] ?? 0, leader]),
    ...leaders.flatMap((leader) => followers.map((other): [number, number] => [leader, other])),
  ];
  const bound = (pairs: readonly (readonly [number, number])[], limit: number): number | null => {
    const swaps = pairs.flatMap(([i, j]) => model.firstSwap(index, i, j, limit) ?? []);
    if (swaps.length === 0) return null;
    return limit > factor ? Math.min(...swaps) : Math.max(...swaps);
  };
  const lowest = Math.min(0, FARTHEST * factor);
  const highest = Math.max(0, FARTHEST * factor);
  const moved = (other: number): TermSensitivity['without'] => {
    const otherPlaces = placesOf(model.totalsAt(index, other));
    return keys.flatMap((key, i) => {
      const place = otherPlaces[i] ?? null;
      return place === null || place === places[i] ? [] : [{ key, place }];
    });
  };
  return {
    termId: term.id,
    factor,
    orderKeptFrom: bound(neighbours, lowest),
    orderKeptTo: bound(neighbours, highest),
    leaderKeptFrom: bound(withLeaders, lowest),
    leaderKeptTo: bound(withLeaders, highest),
    without: moved(0),
    doubled: moved(2 * factor),
  };
}

function* drawFirstShares(
  model: FactorModel,
  keys: readonly string[],
  seed: number,
  weightingCount: number,
): WorkInPieces<Sensitivity['firstShares']> {
  const random = createSeededRandom(seed, 2);
  const wins = new Float64Array(keys.length);
  const weights = new Float64Array(model.factors.length);
  for (let draw = 0; draw < weightingCount; draw += 1) {
    let sum = 0;
    for (let index = 0; index < weights.length; index += 1) {
      // Exponential draws over their sum are uniform on the simplex.
      const weight = -Math.log(1 - random.uniform());
      weights[index] = weight;
      sum += weight;
    }
    for (let index = 0; index < weights.length; index += 1) {
      weights[index] = ((model.factors[index] ?? 0) * (weights[index] ?? 0) * weights.length) / sum;
    }
    const totals = model.totalsFor(weights);
    const most = totals.reduce((best, total) => (total > best ? total : best), Number.NEGATIVE_INFINITY);
    // Rounding costs more than all the rest, and only near the top it decides.
    const near = most - 1e-6 * Math.abs(most);
    const first: number[] = [];
    for (let i = 0; i < totals.length; i += 1) {
      const total = totals[i] ?? Number.NaN;
      if (total >= near && roundTotal(total) === roundTotal(most)) first.push(i);
    }
    for (const i of first) wins[i] = (wins[i] ?? 0) + 1 / first.length;
    if (draw % WEIGHTINGS_AT_ONCE === 0) yield;
  }
  return keys
    .map((key, i) => ({ key, share: (wins[i] ?? 0) / Math.max(1, weightingCount) }))
    .filter(({ share }) => share > 0)
    .sort((a, b) => b.share - a.share || (a.key < b.key ? -1 : 1));
}

function describe(
  { rows, scheme }: Standings,
  model: FactorModel,
  terms: readonly TermSensitivity[],
  firstShares: Sensitivity['firstShares'],
  weightingCount: number,
): string[] {
  if (rows.length < 2) return ['With fewer than two ranked there is no order that a factor could change.'];
  const labelOf = new Map(rows.map(({ contender }) => [contender.key, contender.label]));
  const leaders = listInWords(
    rows.filter(({ place }) => place === 1).map(({ contender }) => contender.label),
  );
  const name = (termId: string): string =>
    quoted(scheme.terms.find(({ id }) => id === termId)?.label ?? termId);
  const sentences: string[] = [];
  const sensitive = terms.filter(
    ({ leaderKeptFrom, leaderKeptTo }) => leaderKeptFrom !== null || leaderKeptTo !== null,
  );
  for (const { termId, factor, leaderKeptFrom, leaderKeptTo } of sensitive) {
    const limits = [
      ...(leaderKeptFrom === null ? [] : [`below ${formatLimit(leaderKeptFrom, factor)}`]),
      ...(leaderKeptTo === null ? [] : [`above ${formatLimit(leaderKeptTo, factor)}`]),
    ];
    sentences.push(
      `The first place changes where the factor of ${name(termId)}, now ${formatFactor(factor)}, goes ${limits.join(' or ')}.`,
    );
  }
  if (sensitive.length === 0) {
    sentences.push(
      `No single factor between zero and ten times itself takes the first place from ${leaders}.`,
    );
  }
  const places = rows.map(({ place }) => place);
  const alone = scheme.terms.filter((_term, index) => {
    const own = placesOf(
      model.totalsFor(model.factors.map((factor, other) => (other === index ? factor : 0))),
    );
    return scheme.terms.length > 1 && places.every((place, i) => own[i] === place);
  });
  for (const { id } of alone) {
    sentences.push(
      `${name(id)} decides by itself: with all other factors at zero everybody would have the same place.`,
    );
  }
  for (const { termId, factor, orderKeptFrom, orderKeptTo, without } of terms) {
    if (
      factor !== 0 &&
      scheme.terms.length > 1 &&
      orderKeptFrom === null &&
      orderKeptTo === null &&
      without.length === 0
    ) {
      sentences.push(
        `The factor of ${name(termId)} changes nothing in the order between zero and ten times itself.`,
      );
    }
  }
  if (firstShares.length > 0) {
    const shares = firstShares
      .slice(0, 3)
      .map(
        ({ key, share }) =>
          `${labelOf.get(key) ?? key} ${formatQuantity(share * 100, 'percent', share > 0.995 && share < 1 ? 1 : 0)}`,
      );
    sentences.push(
      `First in ${formatNumber(weightingCount, 0)} random weightings: ${listInWords(shares)}${firstShares.length > 3 ? ', the rest others' : ''}.`,
    );
  }
  return sentences;
}

/** Three digits are enough to know by, unless it takes more to tell the limit from the factor itself. */
function formatLimit(limit: number, factor: number): string {
  const texts = [3, 4, 5, 6].map((digits) => formatFactor(Number(limit.toPrecision(digits))));
  return texts.find((text) => text !== formatFactor(factor)) ?? formatFactor(limit);
}
