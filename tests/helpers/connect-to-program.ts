import WebSocket from 'ws';
import { vi } from 'vitest';
import { WebSocketConnection } from '../../renderer/api-client/websocket-connection.ts';

/** A second window on a running program, without a page: the same connection as the page's, over a real socket. */
export function connectToProgram(address: string): WebSocketConnection {
  const url = new URL(address);
  const token = new URLSearchParams(url.hash.slice(1)).get('token');
  if (token === null) throw new Error('The address of the program carries no token');
  // A browser names its page as the origin of a socket; here it has to be told.
  vi.stubGlobal('WebSocket', function PageWebSocket(socketUrl: string, protocols: string[]) {
    const socket = new WebSocket(socketUrl, protocols, { origin: url.origin });
    socket.binaryType = 'arraybuffer';
    return socket;
  });
  return new WebSocketConnection({
    url: `ws://${url.host}/socket`,
    tokens: { candidates: () => [token], accepted: () => undefined },
  });
}
