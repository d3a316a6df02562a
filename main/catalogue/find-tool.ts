import { AppError } from '../../shared-lib/app-error.ts';
import type { Tool } from '../../shared-lib/run-sheet/setup-model.ts';
import { listBenchItems } from '../storage/bench-item-repository.ts';
import type { ReadableDatabase } from '../storage/database.ts';

/** Errors: AppError 'tool-not-found'. */
export function findTool(database: ReadableDatabase, toolId: string): Tool {
  return foundTool(
    listBenchItems(database).tools.find(({ id }) => id === toolId),
    toolId,
  );
}

/** What was looked for by its id. Errors: AppError 'tool-not-found'. */
export function foundTool<Found>(found: Found | undefined, toolId: string): Found {
  if (found !== undefined) return found;
  throw new AppError(
    'tool-not-found',
    'This tool is not in the list. Nothing was changed. Choose one from the list, or add it first.',
    { toolId },
  );
}
