import { IpcConnection } from './ipc-connection.ts';
import type { LinkedConnection } from './link-state.ts';
import { credentialInAddress, knownTokens, moveToStorage, watchForNewToken } from './token-store.ts';
import { WebSocketConnection } from './websocket-connection.ts';

/** The desktop window's bridge where there is one, else a socket to the host that served the page. */
export function chooseConnection(page: Window): LinkedConnection {
  if (page.proofarm !== undefined) return new IpcConnection(page.proofarm);
  const inAddress = credentialInAddress(page);
  const connection = new WebSocketConnection({
    url: `ws://${page.location.host}/socket`,
    ticket: inAddress?.kind === 'ticket' ? inAddress.text : null,
    tokens: knownTokens(page, inAddress),
  });
  // Once the services are being asked.
  if (inAddress !== null) moveToStorage(page, inAddress);
  watchForNewToken(page, () => connection.tryNewTokens());
  return connection;
}
