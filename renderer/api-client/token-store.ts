import type { Credential, TokenSource } from './websocket-connection.ts';

const storageKey = 'proofarm.token';
const fragmentForm = /^#(token|ticket)=([A-Za-z0-9_.-]+)$/;

/** Null where the page was opened by a bookmark, by a reload or in a second tab. */
export function credentialInAddress(page: Window): Credential | null {
  const [, kind, text] = fragmentForm.exec(page.location.hash) ?? [];
  return text === undefined ? null : { kind: kind === 'ticket' ? 'ticket' : 'token', text };
}

/** Takes it out of the address, where it would stand in bookmarks and in pictures of the screen. A ticket is not worth keeping. */
export function moveToStorage(page: Window, { kind, text }: Credential): void {
  if (kind === 'token') keepToken(page, text);
  page.history.replaceState(page.history.state, '', page.location.pathname + page.location.search);
}

/** The session's storage carries it over a reload; the local one lets a bookmark or a second tab in. */
function keepToken(page: Window, token: string): void {
  page.sessionStorage.setItem(storageKey, token);
  page.localStorage.setItem(storageKey, token);
}

/** The storages are read only where the address has no token: the first look into them waits for the browser, some tens of milliseconds. */
export function knownTokens(page: Window, inAddress: Credential | null): TokenSource {
  return {
    *candidates() {
      if (inAddress?.kind === 'token') yield inAddress.text;
      for (const storage of [page.sessionStorage, page.localStorage]) {
        const token = storage.getItem(storageKey);
        if (token !== null) yield token;
      }
    },
    accepted: (token) => keepToken(page, token),
  };
}

/** Calls back when another window of this address has been given a token, as one opened by a newer start is. */
export function watchForNewToken(page: Window, listener: () => void): void {
  page.addEventListener('storage', (event) => {
    if (event.key === storageKey && event.newValue !== null) listener();
  });
}
