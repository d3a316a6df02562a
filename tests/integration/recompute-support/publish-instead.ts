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
import { DEFINITION_VERSION, MEASURES_SINCE_VERSION } from '../../../shared-lib/trial/definition-version.ts';
import { doAtOnce } from '../../../shared-lib/work-in-pieces.ts';
import { publishedStandingsSchema } from '../../../shared-lib/recompute/recompute-standings.ts';
import type { PackageInMemory } from './package-in-memory.ts';

/** Standings as they would have been published of another input; one of rules of before reads as it did then. */
export function publishInstead(
  files: PackageInMemory,
  fileName: string,
  change: (input: StandingsInput) => void,
): void {
  files.changeJson(fileName, publishedStandingsSchema, (said) => {
    change(said.input);
    nameDefinitionsAsThen(said.input);
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
    nameDefinitionsAsThen(said.input);
    Object.assign(said, resultOf(said.input));
    const { summary, ...content } = said;
    const json = JSON.stringify(editionSchema.omit({ summary: true }).parse(content));
    summary.fingerprint = createHash('sha256').update(json).digest('hex');
  });
  files.seal();
}

/** Before rules 4 a bench was said to be of the definition itself; what is packed here is of that of today. */
function nameDefinitionsAsThen({ benches = [], gathering = 0 }: StandingsInput): void {
  if (gathering >= 4) return;
  benches.forEach((sentence, index) => {
    benches[index] = sentence.replaceAll(
      `measures of definition ${MEASURES_SINCE_VERSION}`,
      `definition ${DEFINITION_VERSION}`,
    );
  });
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
