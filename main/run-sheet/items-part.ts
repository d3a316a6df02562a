import type { RequestResult } from '../../shared-lib/api-contract.ts';
import type { RequestHandlers } from '../services.ts';
import { listBenchItems, savePack, saveSetup, saveTool } from '../storage/bench-item-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import type { RunSheetTools } from './run-sheet-tools.ts';

/** The lists of tools, packs and setups. */
export function createItemsPart({ database, emit }: Pick<RunSheetTools, 'database' | 'emit'>): {
  readonly handlers: Pick<RequestHandlers, 'listBenchItems' | 'saveTool' | 'savePack' | 'saveSetup'>;
} {
  const save = (store: () => void) =>
    retryWhenLocked((): RequestResult<'listBenchItems'> => {
      store();
      emit('runSheetsChanged', {});
      return listBenchItems(database);
    });

  return {
    handlers: {
      listBenchItems: () => listBenchItems(database),
      saveTool: ({ tool }) =>
        save(() => {
          saveTool(database, tool);
        }),
      savePack: ({ pack }) =>
        save(() => {
          savePack(database, pack);
        }),
      saveSetup: ({ setup }) =>
        save(() => {
          saveSetup(database, setup);
        }),
    },
  };
}
