import { lazy } from 'react';
import { fetchLaterDialogs } from './bench/later-dialogs.ts';
import { fetchLaterParts } from './frame/later-parts.ts';

/**
 * Every place but the Bench, which is there at once; these are fetched when the page has nothing else to do, so that the
 * start does not wait for them and a click on them does not either.
 */
const backups = () => import('./setup/backup/BackupsPage.tsx');
const calibrate = () => import('./calibrate/CalibratePage.tsx');
const compare = () => import('./compare/ComparePlace.tsx');
const logbook = () => import('./logbook/LogbookPage.tsx');
const reassign = () => import('./logbook/reassign/ReassignPage.tsx');
const runSheets = () => import('./run-sheet/RunSheetPlace.tsx');
const session = () => import('./logbook/sessions/SessionPage.tsx');
const sessions = () => import('./logbook/sessions/SessionsPage.tsx');
const standings = () => import('./standings/StandingsPlace.tsx');
const share = () => import('./share/SharePlace.tsx');
const setup = () => import('./setup/SetupPage.tsx');
const tools = () => import('./tools/ToolsPlace.tsx');
const trial = () => import('./logbook/TrialPage.tsx');

export const BackupsPage = lazy(async () => ({ default: (await backups()).BackupsPage }));
export const CalibratePage = lazy(async () => ({ default: (await calibrate()).CalibratePage }));
export const ComparePlace = lazy(async () => ({ default: (await compare()).ComparePlace }));
export const LogbookPage = lazy(async () => ({ default: (await logbook()).LogbookPage }));
export const ReassignPage = lazy(async () => ({ default: (await reassign()).ReassignPage }));
export const RunSheetPlace = lazy(async () => ({ default: (await runSheets()).RunSheetPlace }));
export const SessionPage = lazy(async () => ({ default: (await session()).SessionPage }));
export const SessionsPage = lazy(async () => ({ default: (await sessions()).SessionsPage }));
export const SetupPage = lazy(async () => ({ default: (await setup()).SetupPage }));
export const SharePlace = lazy(async () => ({ default: (await share()).SharePlace }));
export const StandingsPlace = lazy(async () => ({ default: (await standings()).StandingsPlace }));
export const ToolsPlace = lazy(async () => ({ default: (await tools()).ToolsPlace }));
export const TrialPage = lazy(async () => ({ default: (await trial()).TrialPage }));

export function fetchLaterPlaces(): void {
  // A place that could not be fetched is asked for again when it is opened, and then says so.
  void Promise.allSettled([
    fetchLaterParts(),
    fetchLaterDialogs(),
    backups(),
    calibrate(),
    compare(),
    logbook(),
    reassign(),
    runSheets(),
    session(),
    sessions(),
    setup(),
    share(),
    standings(),
    tools(),
    trial(),
  ]);
}
