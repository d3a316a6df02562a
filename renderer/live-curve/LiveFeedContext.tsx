import { createContext, type ReactNode, useContext, useEffect, useMemo, useSyncExternalStore } from 'react';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { LiveFeed, type LiveReading } from './live-feed.ts';

const FeedContext = createContext<LiveFeed | null>(null);

/** One feed for the whole window, so that going to another place and back loses nothing of the curve. */
export function LiveFeedProvider({ children }: { readonly children: ReactNode }) {
  const connection = useConnection();
  const feed = useMemo(() => new LiveFeed(connection), [connection]);
  useEffect(() => feed.start(), [feed]);
  return <FeedContext value={feed}>{children}</FeedContext>;
}

export function useLiveFeed(): LiveFeed {
  const feed = useContext(FeedContext);
  if (feed === null) throw new Error('This component must stand inside a LiveFeedProvider.');
  return feed;
}

/** The newest reading, at most ten times a second; null before the first. */
export function useLiveReading(): LiveReading | null {
  const feed = useLiveFeed();
  return useSyncExternalStore(feed.subscribeToReading, feed.getReading);
}
