import type { TokenSource } from './websocket-connection.ts';

const storageKey = 'proofarm.token';
const fragmentForm = /^#token=([A-Za-z0-9_-]+)$/;

/** Null where the page was opened by a bookmark, by a reload or in a second tab. */
export function tokenInAddress(page: Window): string | null {
  return fragmentForm.exec(page.location.hash)?.[1] ?? null;
}

/**
 * Takes the token out of the address, where it would stand in bookmarks and in pictures of the screen.
 *
 * The session's storage carries it over a reload; the local one lets a bookmark or a second tab in.
 */
export function moveToStorage(page: Window, token: string): void {
  page.sessionStorage.setItem(storageKey, token);
  page.localStorage.setItem(storageKey, token);
  page.history.replaceState(page.history.state, '', page.location.pathname + page.location.search);
}

/** The storages are read only where the address has no token: the first look into them waits for the browser, some tens of milliseconds. */
export function knownTokens(page: Window, inAddress: string | null): TokenSource {
  return {
    *candidates() {
      if (inAddress !== null) yield inAddress;
      for (const storage of [page.sessionStorage, page.localStorage]) {
        const token = storage.getItem(storageKey);
        if (token !== null) yield token;
      }
    },
    accepted: (token) => page.sessionStorage.setItem(storageKey, token),
  };
}

/** Calls back when another window of this address has been given a token, as one opened by a newer start is. */
export function watchForNewToken(page: Window, listener: () => void): void {
  page.addEventListener('storage', (event) => {
    if (event.key === storageKey && event.newValue !== null) listener();
  });
}
