import { createContext, type ReactNode, useContext, useSyncExternalStore } from 'react';
import type { Connection, Settings } from '../../shared-lib/api-contract.ts';
import type { AppError } from '../../shared-lib/app-error.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import type { BenchStore } from './bench-store.ts';
import type { LinkState } from './link-state.ts';

const StoreContext = createContext<BenchStore | null>(null);

interface ConnectionProviderProps {
  /** Started by whoever made it. */
  readonly store: BenchStore;
  readonly children: ReactNode;
}

export function ConnectionProvider({ store, children }: ConnectionProviderProps) {
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
