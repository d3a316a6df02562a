import { AppError } from '../../shared-lib/app-error.ts';
import { whyNotMerged } from '../../shared-lib/catalogue/check-merge.ts';
import type { RequestHandlers } from '../services.ts';
import { writing } from '../storage/database.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { saveToolVersion } from '../storage/tool-details-repository.ts';
import {
  insertMerge,
  instantForMerge,
  listMergeRecords,
  wasPutAwayByMerge,
} from '../storage/tool-merge-repository.ts';
import { byNow, type CatalogueTools } from './catalogue-tools.ts';
import { foundTool } from './find-tool.ts';
import { listCatalogue } from './read-catalogue.ts';

/** Two entries that are one tool: the trials of the first count to the second, and the first is put away. */
export function createMergePart(tools: CatalogueTools): {
  readonly handlers: Pick<RequestHandlers, 'mergeTools' | 'undoMerge'>;
} {
  const { database, emit } = tools;
  const changed = (): Record<string, never> => {
    emit('runSheetsChanged', {});
    emit('catalogueChanged', {});
    return {};
  };

  return {
    handlers: {
      mergeTools: ({ fromToolId, intoToolId, reason }) =>
        retryWhenLocked(() => {
          const now = byNow(tools);
          writing(database, () => {
            const catalogue = listCatalogue(database);
            const entryOf = (toolId: string) =>
              foundTool(
                catalogue.find(({ tool }) => tool.id === toolId),
                toolId,
              );
            const from = entryOf(fromToolId);
            const obstacle = whyNotMerged(from, entryOf(intoToolId), (toolId) => entryOf(toolId).tool.name);
            if (obstacle !== null) {
              throw new AppError('invalid-request', `${obstacle} Nothing was merged.`, {
                fromToolId,
                intoToolId,
              });
            }
            const by = { ...now, at: instantForMerge(database, from.tool, now.at) };
            if (!from.tool.isArchived) {
              saveToolVersion(database, { tool: { ...from.tool, isArchived: true } }, by);
            }
            insertMerge(database, { toolId: fromToolId, intoToolId, reason, ...by });
          });
          return changed();
        }),

      undoMerge: ({ fromToolId, reason }) =>
        retryWhenLocked(() => {
          const by = byNow(tools);
          writing(database, () => {
            const { tool } = foundTool(
              listCatalogue(database).find((entry) => entry.tool.id === fromToolId),
              fromToolId,
            );
            const merge = listMergeRecords(database, fromToolId).at(-1);
            if (merge === undefined || merge.intoToolId === null) {
              throw new AppError(
                'invalid-state',
                `“${tool.name}” is merged into no other tool. Nothing was changed.`,
                { fromToolId },
              );
            }
            // First, since a tool that is merged is not taken into use.
            insertMerge(database, { toolId: fromToolId, intoToolId: null, reason, ...by });
            if (tool.isArchived && wasPutAwayByMerge(database, tool, merge.at)) {
              saveToolVersion(database, { tool: { ...tool, isArchived: false } }, by);
            }
          });
          return changed();
        }),
    },
  };
}
