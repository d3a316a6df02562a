import { useEffect } from 'react';
import type { EventName, RequestResult } from '../../shared-lib/api-contract.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { type RequestState, useRequest } from '../api-client/use-request.ts';

export type Catalogue = RequestResult<'listCatalogue'>;

/** A tool, its trials and its setups stand in lists of their own, which change by themselves. */
const otherEvents = ['runSheetsChanged', 'trialsChanged'] as const;

export function useCatalogue(): RequestState<Catalogue> {
  const state = useRequest('listCatalogue', {}, 'catalogueChanged');
  useReloadOn(otherEvents, state.reload);
  return state;
}

/** Asks again at further events than the one that a request follows. `names` must stay the same array. */
export function useReloadOn(names: readonly EventName[], reload: () => void): void {
  const connection = useConnection();
  useEffect(() => {
    const ends = names.map((name) => connection.subscribe(name, reload));
    return () => {
      for (const end of ends) end();
    };
  }, [connection, names, reload]);
}
