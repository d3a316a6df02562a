import { useEffect, useEffectEvent, useRef } from 'react';
import { SYNC_MARK_LEAD_MS } from '../../../shared-lib/overlay/overlay-model.ts';
import { useConnection, useSettings } from '../../api-client/ConnectionContext.tsx';
import { signalSyncMark } from '../../overlay/sync-signal.ts';

/** Every window flashes and sounds at the instant of a mark, so that a camera sees it on whichever screen is in its picture. */
export function SyncFlash() {
  const connection = useConnection();
  const volume = useSettings()?.soundVolume ?? 0;
  const flashRef = useRef<HTMLDivElement>(null);
  const signal = useEffectEvent((toldMs: number) => {
    if (flashRef.current !== null) signalSyncMark(flashRef.current, toldMs + SYNC_MARK_LEAD_MS, volume);
  });
  useEffect(() => connection.subscribe('syncMarkGiven', () => signal(performance.now())), [connection]);
  return <div className="sync-flash" ref={flashRef} aria-hidden="true" />;
}
