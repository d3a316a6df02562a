import type { RequestResult } from '../../shared-lib/api-contract.ts';
import type { RequestHandlers } from '../services.ts';
import { listBenchItems, savePack, saveSetup } from '../storage/bench-item-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { readSetupUse } from '../storage/setup-use.ts';
import { saveToolVersion } from '../storage/tool-details-repository.ts';
import type { RunSheetTools } from './run-sheet-tools.ts';

/** The lists of tools, packs and setups. */
export function createItemsPart({
  platform,
  settings,
  database,
  emit,
}: Pick<RunSheetTools, 'platform' | 'settings' | 'database' | 'emit'>): {
  readonly handlers: Pick<
    RequestHandlers,
    'listBenchItems' | 'saveTool' | 'savePack' | 'saveSetup' | 'getSetupUse'
  >;
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
          // The catalogue keeps the history of a tool, whoever changes it; what it knows beside this stays.
          saveToolVersion(
            database,
            { tool },
            { operator: settings.current().operator, at: platform.clock.now().toISOString() },
          );
          emit('catalogueChanged', {});
        }),
      savePack: ({ pack }) =>
        save(() => {
          savePack(database, pack);
        }),
      saveSetup: ({ setup }) =>
        save(() => {
          saveSetup(database, setup);
        }),
      getSetupUse: ({ setupId }) => readSetupUse(database, setupId),
    },
  };
}
