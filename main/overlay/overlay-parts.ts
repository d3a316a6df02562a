import type { overlayRequests } from '../../shared-lib/overlay/overlay-model.ts';
import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';

/** The overlay, its replays and its marks. */
export function createOverlayParts(_tools: ShareTools): {
  readonly handlers: Pick<RequestHandlers, keyof typeof overlayRequests>;
  close(): Promise<void>;
} {
  const notBuilt = (): never => {
    throw new Error('Not built yet');
  };
  return {
    handlers: {
      getOverlay: notBuilt,
      setOverlay: notBuilt,
      renewOverlayAddress: notBuilt,
      giveSyncMark: notBuilt,
      listSyncMarks: notBuilt,
      playReplay: notBuilt,
      stopReplay: notBuilt,
    },
    close: () => Promise.resolve(),
  };
}
