import { IpcConnection } from './ipc-connection.ts';
import type { LinkedConnection } from './link-state.ts';
import { storedTokens, takeTokenFromAddress, watchForNewToken } from './token-store.ts';
import { WebSocketConnection } from './websocket-connection.ts';

/** The desktop window's bridge where there is one, else a socket to the host that served the page. */
export function chooseConnection(page: Window): LinkedConnection {
  if (page.proofarm !== undefined) return new IpcConnection(page.proofarm);
  takeTokenFromAddress(page);
  const connection = new WebSocketConnection({
    url: `ws://${page.location.host}/socket`,
    tokens: storedTokens(page),
  });
  watchForNewToken(page, () => connection.tryNewTokens());
  return connection;
}
