import WebSocket from 'ws';
import { WebSocketConnection } from '../../renderer/api-client/websocket-connection.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';

/** The connection of a window without its page. */
export type Window = Pick<WebSocketConnection, 'request' | 'close'>;

export function openSecondWindow(address: string): Window {
  const url = new URL(address);
  const token = new URLSearchParams(url.hash.slice(1)).get('token');
  if (token === null) throw new Error('The address of the program carries no token');
  // A browser names its page as the origin of a socket; here it has to be told.
  Reflect.set(globalThis, 'WebSocket', function PageWebSocket(socketUrl: string, protocols: string[]) {
    const socket = new WebSocket(socketUrl, protocols, { origin: url.origin });
    socket.binaryType = 'arraybuffer';
    return socket;
  });
  return new WebSocketConnection({
    url: `ws://${url.host}/socket`,
    tokens: { candidates: () => [token], accepted: () => undefined },
  });
}

/** Waits for a status that satisfies the condition; fails with what it waited for. */
export async function untilStatus(
  window: Window,
  what: string,
  condition: (status: BenchStatus) => boolean,
  limitMs: number,
): Promise<BenchStatus> {
  const endMs = performance.now() + limitMs;
  for (;;) {
    const status = await window.request('getStatus', {});
    if (condition(status)) return status;
    if (performance.now() > endMs) throw new Error(`Waited in vain for: ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}
