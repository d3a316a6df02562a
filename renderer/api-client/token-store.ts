import type { TokenSource } from './websocket-connection.ts';

const storageKey = 'proofarm.token';
const fragmentForm = /^#token=([A-Za-z0-9_-]+)$/;

/**
 * Takes the token out of the address, where it would stand in bookmarks and in pictures of the screen.
 *
 * The session's storage carries it over a reload; the local one lets a bookmark or a second tab in.
 */
export function takeTokenFromAddress(page: Window): void {
  const token = fragmentForm.exec(page.location.hash)?.[1];
  if (token === undefined) return;
  page.sessionStorage.setItem(storageKey, token);
  page.localStorage.setItem(storageKey, token);
  page.history.replaceState(page.history.state, '', page.location.pathname + page.location.search);
}

export function storedTokens(page: Window): TokenSource {
  return {
    candidates: () =>
      [page.sessionStorage.getItem(storageKey), page.localStorage.getItem(storageKey)].filter(
        (token) => token !== null,
      ),
    accepted: (token) => page.sessionStorage.setItem(storageKey, token),
  };
}

/** Calls back when another window of this address has been given a token, as one opened by a newer start is. */
export function watchForNewToken(page: Window, listener: () => void): void {
  page.addEventListener('storage', (event) => {
    if (event.key === storageKey && event.newValue !== null) listener();
  });
}
