import { z } from 'zod';
import { distributionFunctions } from '../calibration/distribution-functions.ts';
import { computeStandings } from '../standings/compute-standings.ts';
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
import type { Tally } from './tally.ts';
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

/** Points, totals, places and their ranges from what the standings say they rest on. */
function holdResult(
  where: string,
  { standings, placeRanges, input }: PublishedStandings,
  tally: Tally,
): void {
  const computed = computeStandings(input);
  compareValues(
    tally,
    'points, totals and places',
    { where },
    standings,
    asJson({ ...computed, cautions: [...(input.benches ?? []), ...computed.cautions] }, standingsSchema),
  );
  const ranges = doAtOnce(drawPlaceRanges(input, computed, USUAL_DRAWS, distributionFunctions));
  compareValues(tally, 'ranges of places', { where }, placeRanges, asJson(ranges, placeRangesSchema));
}

/** As it reads back from a file. */
function asJson<Value>(value: Value, schema: { parse(read: unknown): Value }): Value {
  return schema.parse(JSON.parse(JSON.stringify(value)));
}
