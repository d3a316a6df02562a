import { createRoot } from 'react-dom/client';
import type { BenchStore } from './api-client/bench-store.ts';
import { ConnectionProvider } from './api-client/ConnectionContext.tsx';
import { App } from './App.tsx';
import { applyTheme } from './frame/theme.ts';
import { fetchLaterPlaces } from './later-places.ts';

/** For a program that is slow to answer: what is known is shown, and the rest as it comes. */
const LONGEST_WAIT_MS = 300;
/** A canvas keeps the typeface that was there when it was drawn. */
const LONGEST_WAIT_FOR_TYPEFACE_MS = 2000;

/** The first picture is drawn once, of what is so and in its own typeface, and not of a bench that is not known yet. */
export async function showFirstPicture(store: BenchStore, host: HTMLElement): Promise<void> {
  // A typeface that cannot be had is no reason to show nothing.
  await Promise.allSettled([
    Promise.race([store.settled(), wait(LONGEST_WAIT_MS)]),
    Promise.race([document.fonts.load('1em "Inter Variable"'), wait(LONGEST_WAIT_FOR_TYPEFACE_MS)]),
  ]);
  const { settings } = store.getSnapshot();
  if (settings !== null) applyTheme(settings.theme);
  createRoot(host).render(
    <ConnectionProvider store={store}>
      <App />
    </ConnectionProvider>,
  );
  requestAnimationFrame(() => requestIdleCallback(fetchLaterPlaces));
}

function wait(durationMs: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, durationMs));
}
