import { z } from 'zod';
import { distributionFunctions } from '../calibration/distribution-functions.ts';
import { computeStandings } from '../standings/compute-standings.ts';
import { inWordsOfBefore } from '../standings/few-days.ts';
import { drawPlaceRanges } from '../standings/place-draws.ts';
import {
  type Edition,
  editionSchema,
  type PlaceRanges,
  placeRangesSchema,
  type Standings,
  type StandingsInput,
  standingsInputSchema,
  standingsSchema,
} from '../standings/standings-model.ts';
import { USUAL_DRAWS } from '../standings/usual-draws.ts';
import { doAtOnce } from '../work-in-pieces.ts';
import { compareValues } from './compare-values.ts';
import type { PackageState } from './package-state.ts';
import { viewOf } from './pulls-of-package.ts';
import { recomputeInput } from './recompute-input.ts';
import { sha256 } from './sha256.ts';
import type { FigureKind, Tally } from './tally.ts';
import { utf8Bytes } from './utf8.ts';

export const publishedStandingsSchema = z.strictObject({
  standings: standingsSchema,
  placeRanges: placeRangesSchema,
  input: standingsInputSchema,
});

interface PublishedStandings {
  readonly standings: Standings;
  readonly placeRanges: PlaceRanges;
  readonly input: StandingsInput;
}

/** A live table, as it stood when the package was made. */
export function recomputeStandings(
  state: PackageState,
  where: string,
  published: PublishedStandings,
  tally: Tally,
): void {
  recomputeInput(
    state,
    viewOf(state, null),
    { where, input: published.input, on: state.manifest.madeAt },
    tally,
  );
  holdResult(where, published, tally);
}

/** An edition, by what of the package there was when it was frozen, and whether it is what its fingerprint says. */
export function recomputeEdition(state: PackageState, where: string, edition: Edition, tally: Tally): void {
  const { summary, ...content } = edition;
  const { createdAt } = summary;
  recomputeInput(state, viewOf(state, createdAt), { where, input: content.input, on: createdAt }, tally);
  holdResult(where, content, tally);
  const json = JSON.stringify(editionSchema.omit({ summary: true }).parse(content));
  compareValues(
    tally,
    'fingerprints',
    { where, path: ['fingerprint'] },
    summary.fingerprint,
    sha256(utf8Bytes(json)),
  );
}

/** Points, totals and places, and the ranges of these, from what the standings say they rest on. */
function holdResult(
  where: string,
  { standings, placeRanges, input }: PublishedStandings,
  tally: Tally,
): void {
  const raw = computeStandings(input);
  const inTheirWords: typeof inWordsOfBefore = (sentences, said, place) =>
    input.gathering === undefined ? inWordsOfBefore(sentences, said, place) : [...sentences];
  const { rows, notRanked, ...rest } = asJson(
    {
      ...raw,
      cautions: [...(input.benches ?? []), ...inTheirWords(raw.cautions, standings.cautions, 'table')],
    },
    standingsSchema,
  );
  const { rows: saidRows, notRanked: saidNotRanked, ...saidRest } = standings;
  const result = 'points, totals and places';
  const keyOf = ({ contender }: { readonly contender: { readonly key: string } }): string => contender.key;
  compareValues(tally, result, { where }, saidRest, rest);
  holdByKey(tally, result, where, { said: saidRows, computed: rows, keyOf });
  holdByKey(tally, result, `${where}, not ranked`, { said: saidNotRanked, computed: notRanked, keyOf });

  const drawn = asJson(
    doAtOnce(drawPlaceRanges(input, raw, USUAL_DRAWS, distributionFunctions)),
    placeRangesSchema,
  );
  const { ranges, ...draws } = {
    ...drawn,
    sentences: inTheirWords(drawn.sentences, placeRanges.sentences, 'ranges'),
  };
  const { ranges: saidRanges, ...saidDraws } = placeRanges;
  compareValues(tally, 'ranges of places', { where }, saidDraws, draws);
  holdByKey(tally, 'ranges of places', where, {
    said: saidRanges,
    computed: ranges,
    keyOf: ({ key }) => key,
  });
}

/** One by one, whatever their order, so that what is told of one is about it; and their order. */
function holdByKey<Row>(
  tally: Tally,
  kind: FigureKind,
  where: string,
  rows: {
    readonly said: readonly Row[];
    readonly computed: readonly Row[];
    readonly keyOf: (row: Row) => string;
  },
): void {
  const { said, computed, keyOf } = rows;
  compareValues(tally, kind, { where, path: ['order'] }, said.map(keyOf), computed.map(keyOf));
  const byKey = new Map(computed.map((row) => [keyOf(row), row]));
  for (const row of said) {
    const own = byKey.get(keyOf(row));
    // One that is not there, or not alone, is told by the order.
    if (own !== undefined) compareValues(tally, kind, { where, path: [`#${keyOf(row)}`] }, row, own);
  }
}

/** As it reads back from a file. */
function asJson<Value>(value: Value, schema: { parse(read: unknown): Value }): Value {
  return schema.parse(JSON.parse(JSON.stringify(value)));
}
