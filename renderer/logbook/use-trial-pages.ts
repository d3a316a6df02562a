import { useEffect, useMemo, useSyncExternalStore } from 'react';
import { useConnection, useLinkState } from '../api-client/ConnectionContext.tsx';
import { TrialPages, type TrialPagesSnapshot, type TrialQuery } from './trial-pages.ts';

export interface TrialPagesView extends TrialPagesSnapshot {
  readonly show: (first: number, last: number) => void;
}

export function useTrialPages({ search, state }: TrialQuery): TrialPagesView {
  const connection = useConnection();
  const isOpen = useLinkState() === 'open';
  const pages = useMemo(() => new TrialPages(connection), [connection]);
  useEffect(() => {
    if (isOpen) pages.ask({ search, state });
  }, [pages, isOpen, search, state]);
  useEffect(() => connection.subscribe('trialsChanged', () => pages.refresh()), [connection, pages]);
  const snapshot = useSyncExternalStore(pages.subscribe, pages.getSnapshot);
  const show = useMemo(() => (first: number, last: number) => pages.show(first, last), [pages]);
  return { ...snapshot, show };
}
