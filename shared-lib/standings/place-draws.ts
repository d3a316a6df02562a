import type { Distributions } from '../calibration/distributions.ts';
import { createSeededRandom } from '../simulation/seeded-random.ts';
import type { WorkInPieces } from '../work-in-pieces.ts';
import { planDraws } from './draw-plan.ts';
import { createTotalsDraw } from './draw-totals.ts';
import { howToReadRanges, whatCannotBeTold } from './place-limits.ts';
import { mainScheme, scoreInput } from './score-input.ts';
import { createPairStatistics, criticalValueOf } from './separate-pairs.ts';
import type { PlaceRange, PlaceRanges, Standings, StandingsInput } from './standings-model.ts';

/** So many draws give each standard deviation to some 1.4 %; more would only take time. */
const PLAIN_DRAWS = 2500;

/** Between two of them others have their turn. */
const DRAWS_AT_ONCE = 10;

/**
 * The places that each could have, from draws of everything that is uncertain (design 7): for each pair D is the drawn
 * difference of the totals minus the observed one, se its standard deviation as if the scatters were known, and c the 95th
 * percentile of the largest |D| / se of all pairs. Two are told apart where their difference exceeds c se, so that all
 * ranges hold at once.
 *
 * Pairs whose difference does not scatter are compared as they are. Contenders of whose scatter too little is known have no
 * range, and `sentences` says so.
 */
export function* drawPlaceRanges(
  input: StandingsInput,
  standings: Standings,
  { seed, drawCount }: { readonly seed: number; readonly drawCount: number },
  distributions: Distributions,
): WorkInPieces<PlaceRanges> {
  const scored = scoreInput(input);
  yield;
  const plan = yield* planDraws(scored, distributions);
  const limits = whatCannotBeTold(scored, plan);
  yield;
  const observedOfField = mainScheme(scored).columns.totals;
  const places = Int32Array.from(
    scored.field.subjects.flatMap((_subject, k) => (limits.hasRange[k] === 1 ? [k] : [])),
  );
  const count = places.length;
  const observed = Float64Array.from(places, (k) => observedOfField[k] ?? Number.NaN);
  const isOpen = new Uint8Array(count * count);
  for (let i = 0; i < count; i += 1) {
    for (let j = i + 1; j < count; j += 1) {
      isOpen[i * count + j] = limits.canTellApart(places[i] ?? -1, places[j] ?? -1) ? 1 : 0;
    }
  }
  const draw = createTotalsDraw(scored, plan, createSeededRandom(seed, 1));
  const pairs = createPairStatistics(count, isOpen, observed);
  const drawn = new Float64Array(drawCount * count);
  const plain = new Float64Array(count);
  const largest = new Float64Array(drawCount);
  const plainEvery = Math.max(1, Math.floor(drawCount / PLAIN_DRAWS));
  const hasFailed = new Uint8Array(count);

  const first = (index: number): void => {
    const withPlain = index % plainEvery === 0;
    draw.next(withPlain);
    const offset = index * count;
    for (let i = 0; i < count; i += 1) {
      const k = places[i] ?? 0;
      const deviation = (draw.totals[k] ?? Number.NaN) - (observed[i] ?? 0);
      const plainDeviation = withPlain ? (draw.plainTotals[k] ?? Number.NaN) - (observed[i] ?? 0) : 0;
      // A share of something that was drawn at or below zero.
      const isFinite = Number.isFinite(deviation) && Number.isFinite(plainDeviation);
      if (!isFinite) hasFailed[i] = 1;
      drawn[offset + i] = isFinite ? deviation : 0;
      plain[i] = isFinite ? plainDeviation : 0;
    }
    if (withPlain) pairs.addPlain(plain);
  };
  const second = (index: number): void => {
    largest[index] = pairs.largest(drawn.subarray(index * count, (index + 1) * count));
  };

  // Where nobody has a range there is nothing to be drawn.
  const needed = count === 0 ? 0 : drawCount;
  for (let index = 0; index < needed; index += 1) {
    first(index);
    if (index % DRAWS_AT_ONCE === 0) yield;
  }
  closeFailed(hasFailed, isOpen, count);
  pairs.finishErrors();
  for (let index = 0; index < needed; index += 1) {
    second(index);
    if (index % DRAWS_AT_ONCE === 0) yield;
  }

  const c = count === 0 ? 0 : criticalValueOf(largest);
  const rows = new Map(standings.rows.map((row) => [row.contender.key, row]));
  const keys = Array.from(places, (k) => scored.field.subjects[k]?.contender.key ?? '');
  const totals = keys.map((key) => rows.get(key)?.total ?? Number.NaN);
  const ranked = standings.rows.length;
  const rangeOf = (i: number): PlaceRange => {
    let better = 0;
    let worse = 0;
    const separated = new Set([keys[i]]);
    for (let j = 0; j < count; j += 1) {
      if (j === i || isOpen[Math.min(i, j) * count + Math.max(i, j)] !== 1) continue;
      const difference = (totals[j] ?? Number.NaN) - (totals[i] ?? Number.NaN);
      if (!(Math.abs(difference) > c * pairs.error(i, j))) continue;
      separated.add(keys[j]);
      if (difference > 0) better += 1;
      else worse += 1;
    }
    return {
      key: keys[i] ?? '',
      bestPlace: 1 + better,
      worstPlace: ranked - worse,
      notSeparatedFrom: [...rows.keys()].filter((key) => !separated.has(key)),
    };
  };
  const inTable = [...places.keys()].filter((i) => hasFailed[i] !== 1);
  const ranges: PlaceRange[] = [];
  for (const i of inTable) {
    ranges.push(rangeOf(i));
    yield;
  }
  const placeOf = new Map(standings.rows.map((row, index) => [row.contender.key, index]));
  const failed = keys.filter((_key, i) => hasFailed[i] === 1);
  return {
    ranges: ranges.sort((a, b) => (placeOf.get(a.key) ?? 0) - (placeOf.get(b.key) ?? 0)),
    drawCount,
    seed,
    criticalValue: ranges.length === 0 || !(c > 0) ? null : c,
    sentences: [
      ...howToReadRanges(ranges.length, ranked, drawCount, seed),
      ...limits.sentences,
      ...failed.map(
        (key) =>
          `${rows.get(key)?.contender.label ?? key} has no range: in some draws a share would have to be taken of zero or less.`,
      ),
    ],
  };
}

function closeFailed(hasFailed: Uint8Array, isOpen: Uint8Array, count: number): void {
  for (let i = 0; i < count; i += 1) {
    for (let j = i + 1; j < count; j += 1) {
      if (hasFailed[i] === 1 || hasFailed[j] === 1) isOpen[i * count + j] = 0;
    }
  }
}
