import { distributionFunctions } from '../../../shared-lib/calibration/distribution-functions.ts';
import { computeStandings } from '../../../shared-lib/standings/compute-standings.ts';
import { drawPlaceRanges } from '../../../shared-lib/standings/place-draws.ts';
import type { StandingsInput } from '../../../shared-lib/standings/standings-model.ts';
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
    const standings = computeStandings(said.input);
    const ranges = drawPlaceRanges(said.input, standings, USUAL_DRAWS, distributionFunctions);
    said.placeRanges = doAtOnce(ranges);
    said.standings = { ...standings, cautions: [...(said.input.benches ?? []), ...standings.cautions] };
  });
  files.seal();
}
