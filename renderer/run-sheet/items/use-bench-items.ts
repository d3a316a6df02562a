import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import type { AppError } from '../../../shared-lib/app-error.ts';
import type { Pack, Setup, Tool } from '../../../shared-lib/run-sheet/setup-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useRequest } from '../../api-client/use-request.ts';

export type BenchItems = RequestResult<'listBenchItems'>;

export type BenchItem =
  | { readonly kind: 'tool'; readonly tool: Tool }
  | { readonly kind: 'pack'; readonly pack: Pack }
  | { readonly kind: 'setup'; readonly setup: Setup };

export interface BenchItemsList {
  /** Null until they are known. */
  readonly items: BenchItems | null;
  readonly error: AppError | null;
  readonly save: (item: BenchItem) => Promise<void>;
}

/** The lists of tools, packs and setups, and how they are changed. */
export function useBenchItems(): BenchItemsList {
  const connection = useConnection();
  const { result, error } = useRequest('listBenchItems', {}, 'runSheetsChanged');
  return {
    items: result,
    error,
    save: async (item) => {
      switch (item.kind) {
        case 'tool':
          await connection.request('saveTool', { tool: item.tool });
          return;
        case 'pack':
          await connection.request('savePack', { pack: item.pack });
          return;
        case 'setup':
          await connection.request('saveSetup', { setup: item.setup });
      }
    },
  };
}
