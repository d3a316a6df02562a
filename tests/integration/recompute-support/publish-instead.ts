import { createHash } from 'node:crypto';
import { distributionFunctions } from '../../../shared-lib/calibration/distribution-functions.ts';
import { computeStandings } from '../../../shared-lib/standings/compute-standings.ts';
import { drawPlaceRanges } from '../../../shared-lib/standings/place-draws.ts';
import {
  editionSchema,
  type PlaceRanges,
  type Standings,
  type StandingsInput,
} from '../../../shared-lib/standings/standings-model.ts';
import { USUAL_DRAWS } from '../../../shared-lib/standings/usual-draws.ts';
import { doAtOnce } from '../../../shared-lib/work-in-pieces.ts';
import { publishedStandingsSchema } from '../../../shared-lib/recompute/recompute-standings.ts';
import type { PackageInMemory } from './package-in-memory.ts';

/** Standings as they would have been published of another input. */
export function publishInstead(
  files: PackageInMemory,
  fileName: string,
  change: (input: StandingsInput) => void,
): void {
  files.changeJson(fileName, publishedStandingsSchema, (said) => {
    change(said.input);
    Object.assign(said, resultOf(said.input));
  });
  files.seal();
}

/** An edition as it would have been frozen of another input, with the fingerprint of that. */
export function freezeInstead(
  files: PackageInMemory,
  fileName: string,
  change: (input: StandingsInput) => void,
): void {
  files.changeJson(fileName, editionSchema, (said) => {
    change(said.input);
    Object.assign(said, resultOf(said.input));
    const { summary, ...content } = said;
    const json = JSON.stringify(editionSchema.omit({ summary: true }).parse(content));
    summary.fingerprint = createHash('sha256').update(json).digest('hex');
  });
  files.seal();
}

function resultOf(input: StandingsInput): {
  readonly standings: Standings;
  readonly placeRanges: PlaceRanges;
} {
  const standings = computeStandings(input);
  const ranges = drawPlaceRanges(input, standings, USUAL_DRAWS, distributionFunctions);
  return {
    placeRanges: doAtOnce(ranges),
    standings: { ...standings, cautions: [...(input.benches ?? []), ...standings.cautions] },
  };
}
