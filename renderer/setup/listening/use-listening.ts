import { useEffect, useState } from 'react';
import type { Listening } from '../../../shared-lib/amplifier/listening-model.ts';
import { AppError } from '../../../shared-lib/app-error.ts';
import { useConnection, useLinkState } from '../../api-client/ConnectionContext.tsx';
import { throttleNewest } from '../../api-client/throttle-newest.ts';

/** Lines come far quicker than they can be read. */
const LISTENING_INTERVAL_MS = 200;

/** What is heard on a port of unknown form, at most five times a second; null where nobody listens. */
export function useListening(): Listening | null {
  const connection = useConnection();
  const isOpen = useLinkState() === 'open';
  const [listening, setListening] = useState<Listening | null>(null);

  useEffect(() => {
    if (!isOpen) return undefined;
    const throttle = throttleNewest(LISTENING_INTERVAL_MS, setListening);
    let hasHeard = false;
    const unsubscribe = connection.subscribe('listeningChanged', (heard) => {
      hasHeard = true;
      throttle.take(heard.listening);
    });
    // Listening may have begun in another window, or before a reload; an event since then is newer than this answer.
    connection.request('getListening', {}).then(
      (answer) => {
        if (!hasHeard) throttle.take(answer.listening);
      },
      (error: unknown) => {
        if (!(error instanceof AppError)) throw error;
      },
    );
    return () => {
      unsubscribe();
      throttle.stop();
    };
  }, [connection, isOpen]);

  return listening;
}
