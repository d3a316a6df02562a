import {
  OVERLAY_EVENT,
  type OverlayFrame,
  overlayFrameSchema,
} from '../../shared-lib/overlay/overlay-model.ts';
import { decodeWireMessage, wireProtocol } from '../../shared-lib/wire-codec.ts';

const RETRY_DELAYS_MS = [250, 500, 1000, 2000] as const;

/** Listens to the door that served this page, for ever; a link that breaks is made again without a word. */
export function listenToDoor(listeners: {
  onFrame(frame: OverlayFrame, receivedMs: number): void;
  onLost(): void;
}): void {
  let failures = 0;
  const connect = (): void => {
    // The fragment is read anew each time: a capture program may be given another address in place.
    const token = new URLSearchParams(location.hash.slice(1)).get('token') ?? '';
    if (!/^[\w-]+$/.test(token)) {
      again();
      return;
    }
    const socket = new WebSocket(`ws://${location.host}/socket`, [wireProtocol, `token.${token}`]);
    socket.binaryType = 'arraybuffer';
    socket.addEventListener('open', () => {
      failures = 0;
    });
    socket.addEventListener('message', ({ data }: MessageEvent<string | ArrayBuffer>) => {
      const receivedMs = performance.now();
      const message = decodeWireMessage(data);
      if (message.kind !== 'event' || message.name !== OVERLAY_EVENT) return;
      // A page from before an update of the program may meet frames that it does not know.
      const frame = overlayFrameSchema.safeParse(message.payload);
      if (frame.success) listeners.onFrame(frame.data, receivedMs);
    });
    socket.addEventListener('close', () => {
      listeners.onLost();
      again();
    });
  };
  const again = (): void => {
    const delayMs = RETRY_DELAYS_MS[Math.min(failures, RETRY_DELAYS_MS.length - 1)] ?? 2000;
    failures += 1;
    setTimeout(connect, delayMs);
  };
  connect();
}
