import { useEffect, useMemo, useSyncExternalStore } from 'react';
import { useConnection, useLinkState } from '../api-client/ConnectionContext.tsx';
import { throttleNewest } from '../api-client/throttle-newest.ts';
import { TrialPages, type TrialPagesSnapshot, type TrialQuery } from './trial-pages.ts';

export interface TrialPagesView extends TrialPagesSnapshot {
  readonly show: (first: number, last: number) => void;
  readonly refresh: () => void;
}

/** While all trials are measured anew, each one says so; the list follows no faster than one can read. */
const REFRESH_INTERVAL_MS = 400;

/** The query must be the same object for as long as the filter is the same. */
export function useTrialPages(query: TrialQuery): TrialPagesView {
  const connection = useConnection();
  const isOpen = useLinkState() === 'open';
  const pages = useMemo(() => new TrialPages(connection), [connection]);
  useEffect(() => {
    if (isOpen) pages.ask(query);
  }, [pages, isOpen, query]);
  useEffect(() => {
    const refresh = throttleNewest(REFRESH_INTERVAL_MS, () => pages.refresh());
    const stop = connection.subscribe('trialsChanged', refresh.take);
    return () => {
      stop();
      refresh.stop();
    };
  }, [connection, pages]);
  const snapshot = useSyncExternalStore(pages.subscribe, pages.getSnapshot);
  const show = useMemo(() => (first: number, last: number) => pages.show(first, last), [pages]);
  return { ...snapshot, show, refresh: () => pages.refresh() };
}
