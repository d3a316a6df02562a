import { flushSync } from 'react-dom';
import { createRoot } from 'react-dom/client';
import type { BenchStore } from './api-client/bench-store.ts';
import { ConnectionProvider } from './api-client/ConnectionContext.tsx';
import { App } from './App.tsx';
import { applyTheme } from './frame/theme.ts';
import { fetchLaterPlaces } from './later-places.ts';

/** For a program that is slow to answer: what is known is shown, and the rest as it comes. */
const LONGEST_WAIT_MS = 300;
/** For style sheets and the typeface, which a canvas keeps as it was when it was drawn. Without them the page is ugly and works. */
const LONGEST_WAIT_FOR_LOOKS_MS = 2000;

/** The first picture is drawn once, of what is so and in its own typeface, and not of a bench that is not known yet. */
export async function showFirstPicture(store: BenchStore): Promise<void> {
  if (document.readyState === 'loading') await happens(document, 'DOMContentLoaded');
  await Promise.all([
    Promise.race([store.settled(), wait(LONGEST_WAIT_MS)]),
    Promise.race([looks(), wait(LONGEST_WAIT_FOR_LOOKS_MS)]),
  ]);
  const { settings } = store.getSnapshot();
  if (settings !== null) applyTheme(settings.theme);
  const host = document.getElementById('app');
  if (host === null) throw new Error('The page has no place for the app.');
  const root = createRoot(host);
  // At once, and not behind what the services go on sending.
  flushSync(() => {
    root.render(
      <ConnectionProvider store={store}>
        <App />
      </ConnectionProvider>,
    );
  });
  requestAnimationFrame(() => requestIdleCallback(fetchLaterPlaces));
}

/** The scripts do not wait for them; a picture that was laid out without its style sheets would measure itself wrongly. */
async function looks(): Promise<void> {
  const sheets = [...document.querySelectorAll<HTMLLinkElement>('link[rel="stylesheet"]')];
  await Promise.all(sheets.filter(({ sheet }) => sheet === null).map((link) => happens(link, 'load')));
  // A typeface that cannot be had is no reason to show nothing.
  await Promise.allSettled([document.fonts.load('1em "Inter Variable"')]);
}

function happens(target: EventTarget, name: string): Promise<Event> {
  return new Promise((resolve) => target.addEventListener(name, resolve, { once: true }));
}

function wait(durationMs: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, durationMs));
}
