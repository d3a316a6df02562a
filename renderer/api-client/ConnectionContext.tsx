import { createContext, type ReactNode, useContext, useEffect, useMemo, useSyncExternalStore } from 'react';
import type { Connection, Settings } from '../../shared-lib/api-contract.ts';
import type { AppError } from '../../shared-lib/app-error.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { BenchStore } from './bench-store.ts';
import type { LinkedConnection, LinkState } from './link-state.ts';

const StoreContext = createContext<BenchStore | null>(null);

interface ConnectionProviderProps {
  readonly connection: LinkedConnection;
  readonly children: ReactNode;
}

export function ConnectionProvider({ connection, children }: ConnectionProviderProps) {
  const store = useMemo(() => new BenchStore(connection), [connection]);
  useEffect(() => store.start(), [store]);
  return <StoreContext value={store}>{children}</StoreContext>;
}

function useBenchStore(): BenchStore {
  const store = useContext(StoreContext);
  if (store === null) throw new Error('This component must stand inside a ConnectionProvider.');
  return store;
}

export function useConnection(): Connection {
  return useBenchStore().connection;
}

/** Null until the services have answered for the first time. */
export function useStatus(): BenchStatus | null {
  const store = useBenchStore();
  return useSyncExternalStore(store.subscribe, () => store.getSnapshot().status);
}

/** Null until the services have answered for the first time. */
export function useSettings(): Settings | null {
  const store = useBenchStore();
  return useSyncExternalStore(store.subscribe, () => store.getSnapshot().settings);
}

export function useLinkState(): LinkState {
  const store = useBenchStore();
  return useSyncExternalStore(store.subscribe, () => store.getSnapshot().linkState);
}

/** Why the services cannot say what the bench is; null while they can. */
export function useServiceProblem(): AppError | null {
  const store = useBenchStore();
  return useSyncExternalStore(store.subscribe, () => store.getSnapshot().problem);
}
