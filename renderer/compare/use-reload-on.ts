import { useEffect } from 'react';
import type { EventName } from '../../shared-lib/api-contract.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';

/** Asks again when one of these says that an answer is out of date. `events` is to be one constant list. */
export function useReloadOn(events: readonly EventName[], reload: () => void): void {
  const connection = useConnection();
  useEffect(() => {
    const ends = events.map((name) => connection.subscribe(name, reload));
    return () => ends.forEach((end) => end());
  }, [connection, events, reload]);
}
