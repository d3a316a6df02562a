import type { CatalogueTool } from '../../shared-lib/catalogue/catalogue-model.ts';
import { listMissing } from '../../shared-lib/catalogue/list-missing.ts';
import { newestOfEachRater, takenInBy } from '../../shared-lib/catalogue/standing-ratings.ts';
import { noDetails } from '../../shared-lib/catalogue/tool-entry.ts';
import { toolsByName } from '../../shared-lib/catalogue/tools-by-name.ts';
import { listBenchItems } from '../storage/bench-item-repository.ts';
import { listMerges } from '../storage/contender-repository.ts';
import { type ReadableDatabase, reading } from '../storage/database.ts';
import { listPhotos } from '../storage/photo-repository.ts';
import { listStandingRatings } from '../storage/rating-repository.ts';
import { listToolDetails } from '../storage/tool-details-repository.ts';
import { countTrials } from '../storage/tool-trial-counts.ts';

export { listExchangeRates } from '../storage/exchange-rate-repository.ts';

/**
 * Every tool by name, archived and merged ones too. Ratings, setups and trials of merged ones are counted with the tool
 * they were merged into as well; details and photos are each one's own.
 */
export function listCatalogue(database: ReadableDatabase): CatalogueTool[] {
  return reading(() => {
    const { tools, setups } = listBenchItems(database);
    const merges = listMerges(database);
    const details = listToolDetails(database);
    const photos = Map.groupBy(listPhotos(database), ({ toolId }) => toolId);
    const ratings = listStandingRatings(database);

    const toolOfSetup = new Map(setups.map(({ id, toolId }) => [id, toolId]));
    const toolOfName = toolsByName(tools, merges);
    const trialCounts = new Map<string, number>();
    for (const { setupId, toolNameFolded, count } of countTrials(database)) {
      const toolId = setupId === null ? toolOfName.get(toolNameFolded)?.id : toolOfSetup.get(setupId);
      if (toolId) trialCounts.set(toolId, (trialCounts.get(toolId) ?? 0) + count);
    }

    const takenIn = takenInBy(merges);
    return tools.map((tool) => {
      const ids = new Set([tool.id, ...(takenIn.get(tool.id) ?? [])]);
      const ownDetails = details.get(tool.id) ?? noDetails;
      const ownRatings = newestOfEachRater(ratings.filter(({ toolId }) => ids.has(toolId)));
      const mergedIntoToolId = merges.get(tool.id) ?? null;
      return {
        tool,
        details: ownDetails,
        photos: photos.get(tool.id) ?? [],
        ratings: ownRatings,
        mergedIntoToolId,
        setupCount: setups.filter(({ toolId, isArchived }) => ids.has(toolId) && !isArchived).length,
        trialCount: [...ids].reduce((sum, id) => sum + (trialCounts.get(id) ?? 0), 0),
        missing: mergedIntoToolId === null ? listMissing(tool, ownDetails, ownRatings) : [],
      };
    });
  });
}
