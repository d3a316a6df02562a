import { AppError } from '../../shared-lib/app-error.ts';
import { describeToolChanges } from '../../shared-lib/catalogue/describe-tool-changes.ts';
import { findTwins } from '../../shared-lib/catalogue/find-twins.ts';
import { judgeRaterAgreement } from '../../shared-lib/catalogue/rater-agreement.ts';
import { checkToolEntry, type ToolEntry } from '../../shared-lib/catalogue/tool-entry.ts';
import type { RequestHandlers } from '../services.ts';
import { listBenchItems } from '../storage/bench-item-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { listToolVersions, saveToolVersion } from '../storage/tool-details-repository.ts';
import { listMergeRecords } from '../storage/tool-merge-repository.ts';
import { byNow, type CatalogueTools } from './catalogue-tools.ts';
import { findTool } from './find-tool.ts';
import { listCatalogue } from './read-catalogue.ts';

/** Tools with their details and their history. */
export function createCataloguePart(tools: CatalogueTools): {
  readonly handlers: Pick<RequestHandlers, 'listCatalogue' | 'saveCatalogueTool' | 'getToolHistory'>;
} {
  const { database, emit } = tools;

  const list: RequestHandlers['listCatalogue'] = () => {
    const catalogue = listCatalogue(database);
    const ownRatings = catalogue
      .filter(({ mergedIntoToolId }) => mergedIntoToolId === null)
      .flatMap(({ tool, ratings }) => ratings.map((rating) => ({ ...rating, toolId: tool.id })));
    return {
      tools: catalogue,
      likelyTwins: findTwins(catalogue),
      agreement: judgeRaterAgreement(ownRatings),
    };
  };

  const save = (entry: ToolEntry) =>
    retryWhenLocked(() => {
      refuseContradictions(entry);
      const { tool, details } = entry;
      const { tools: before } = listBenchItems(database);
      saveToolVersion(database, { tool, details }, byNow(tools));
      const stood = before.find(({ id }) => id === tool.id);
      if (JSON.stringify(stood) !== JSON.stringify(tool)) emit('runSheetsChanged', {});
      emit('catalogueChanged', {});
      return {};
    });

  const history: RequestHandlers['getToolHistory'] = ({ toolId }) => {
    findTool(database, toolId);
    const { tools: known } = listBenchItems(database);
    const nameOf = (id: string): string => known.find((tool) => tool.id === id)?.name ?? '';
    const versions = listToolVersions(database, toolId).map((version, index, all) => {
      const changes = describeToolChanges(all[index - 1] ?? null, version);
      return {
        at: version.at,
        operator: version.operator,
        changes: index === 0 ? ['Its history begins here.', ...changes] : changes,
      };
    });
    const merges = listMergeRecords(database, toolId).map(({ at, operator, intoToolId, reason }) => ({
      at,
      operator,
      changes: [
        intoToolId === null
          ? `Merge taken back: ${reason}`
          : `Merged into “${nameOf(intoToolId)}”: ${reason}`,
      ],
    }));
    const byInstant = [...versions, ...merges].toSorted((a, b) => (a.at < b.at ? -1 : Number(a.at > b.at)));
    return { versions: byInstant.toReversed() };
  };

  return { handlers: { listCatalogue: list, saveCatalogueTool: save, getToolHistory: history } };
}

/** Errors: AppError 'invalid-request' with all that contradicts itself. */
function refuseContradictions(entry: ToolEntry): void {
  const problems = checkToolEntry(entry);
  if (problems.length === 0) return;
  throw new AppError('invalid-request', `Nothing was stored. ${problems.join(' ')}`, {
    toolId: entry.tool.id,
  });
}
