import { lazy } from 'react';

/** What lies over the Bench only once it is asked for: fetched behind the first picture, with the other places. */
const overlays = () => import('./BenchOverlay.tsx');
const sheet = () => import('./SheetDialog.tsx');

export const BenchOverlay = lazy(async () => ({ default: (await overlays()).BenchOverlay }));
export const DecisionDialog = lazy(async () => ({ default: (await overlays()).DecisionDialog }));
export const SheetDialog = lazy(async () => ({ default: (await sheet()).SheetDialog }));

export function fetchLaterDialogs(): Promise<unknown> {
  return Promise.all([overlays(), sheet()]);
}
