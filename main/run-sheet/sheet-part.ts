import { AppError } from '../../shared-lib/app-error.ts';
import type { RunSheet } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import type { RequestHandlers } from '../services.ts';
import { writing } from '../storage/database.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { appendRunSheetEvent } from '../storage/run-sheet-events.ts';
import { getRunSheet, listRunSheets, placeEntry, sheetOfEntry } from '../storage/run-sheet-repository.ts';
import { confirmSetup } from './confirm-setup.ts';
import type { RunSheetTools } from './run-sheet-tools.ts';

type Names =
  | 'listRunSheets'
  | 'getRunSheet'
  | 'openRunSheet'
  | 'leaveRunSheet'
  | 'closeRunSheet'
  | 'confirmSetup'
  | 'skipEntry'
  | 'takeBackSkip'
  | 'moveEntry';

/** Run sheets that were made: on the bench and off it, and what is decided about them. Nothing of a sheet is deleted. */
export function createSheetPart(tools: RunSheetTools): { readonly handlers: Pick<RequestHandlers, Names> } {
  const { database, settings, bench, sheetOnBench } = tools;

  const source = (runSheetId: string) => ({
    runSheetId,
    sessionId: bench.sessionIdSoFar(),
    operator: settings.current().operator,
    at: tools.platform.clock.now().toISOString(),
  });

  /** Then every window hears of it. */
  const change = (work: () => void) =>
    retryWhenLocked(() => {
      work();
      sheetOnBench.changed();
      tools.emit('runSheetsChanged', {});
      tools.statusChanged();
      return {};
    });

  const put = (runSheetId: string | null): void => {
    if (settings.current().runSheetId !== runSheetId) settings.update({ runSheetId });
  };

  const isOnBench = ({ id }: RunSheet): boolean => settings.current().runSheetId === id;

  /** The trial under way belongs to the current entry; what else of the sheet is changed is up to the operator. */
  const refuseWhilePulled = (sheet: RunSheet, entryId: string, what: string): void => {
    const current = sheetOnBench.sheet()?.entries.find(({ state }) => state === 'open');
    if (isOnBench(sheet) && current?.id === entryId) bench.refuseDuringTrial(what);
  };

  const openEntry = (entryId: string, what: string): RunSheet => {
    const sheet = sheetOfEntry(database, entryId);
    refuseClosed(sheet, what);
    if (sheet.entries.find(({ id }) => id === entryId)?.state !== 'open') {
      throw new AppError(
        'invalid-state',
        `${what} was refused: this pull is done or skipped already. Nothing was changed. Take the skip back, or void its trial, to have it open again.`,
        { entryId },
      );
    }
    refuseWhilePulled(sheet, entryId, what);
    return sheet;
  };

  return {
    handlers: {
      listRunSheets: () => ({ runSheets: listRunSheets(database) }),
      getRunSheet: ({ runSheetId }) => getRunSheet(database, runSheetId),

      openRunSheet: ({ runSheetId }) =>
        change(() => {
          bench.refuseDuringTrial('Putting a run sheet on the bench');
          const sheet = getRunSheet(database, runSheetId);
          refuseClosed(sheet, 'Putting it on the bench');
          if (isOnBench(sheet)) return;
          appendRunSheetEvent(database, { ...source(runSheetId), kind: 'opened' });
          put(runSheetId);
        }),

      leaveRunSheet: () =>
        change(() => {
          bench.refuseDuringTrial('Leaving the run sheet');
          put(null);
        }),

      closeRunSheet: ({ runSheetId, reason }) =>
        change(() => {
          const sheet = getRunSheet(database, runSheetId);
          refuseClosed(sheet, 'Closing it');
          if (isOnBench(sheet)) bench.refuseDuringTrial('Closing the run sheet');
          const openCount = sheet.entries.filter(({ state }) => state === 'open').length;
          if (openCount > 0 && reason === null) {
            throw new AppError(
              'invalid-request',
              `The run sheet was not closed: ${openCount} of its pulls are open. Say why they will not be made, or go on with them.`,
              { runSheetId, openCount },
            );
          }
          appendRunSheetEvent(database, { ...source(runSheetId), kind: 'closed', reason: reason ?? '' });
          if (isOnBench(sheet)) put(null);
        }),

      confirmSetup: (request) =>
        change(() => {
          bench.refuseDuringTrial('Taking up a setup');
          confirmSetup(tools, request);
        }),

      skipEntry: ({ entryId, reason }) =>
        change(() => {
          const { id } = openEntry(entryId, 'Skipping it');
          appendRunSheetEvent(database, { ...source(id), kind: 'skipped', entryId, reason });
        }),

      takeBackSkip: ({ entryId }) =>
        change(() => {
          const sheet = sheetOfEntry(database, entryId);
          refuseClosed(sheet, 'Taking back a skip');
          if (sheet.entries.find(({ id }) => id === entryId)?.state !== 'skipped') {
            throw new AppError('invalid-state', 'This pull is not skipped. Nothing was changed.', {
              entryId,
            });
          }
          // Another entry would become the current one under the trial.
          if (isOnBench(sheet)) bench.refuseDuringTrial('Taking back a skip');
          appendRunSheetEvent(database, { ...source(sheet.id), kind: 'skipTakenBack', entryId });
        }),

      moveEntry: ({ entryId, beforeEntryId }) =>
        change(() => {
          const sheet = openEntry(entryId, 'Moving it');
          if (isOnBench(sheet)) bench.refuseDuringTrial('Moving a pull');
          if (beforeEntryId === entryId) {
            throw new AppError(
              'invalid-request',
              'A pull cannot be moved before itself. Nothing was changed.',
              {
                entryId,
              },
            );
          }
          writing(database, () => {
            placeEntry(database, sheet.id, entryId, beforeEntryId);
            appendRunSheetEvent(database, { ...source(sheet.id), kind: 'moved', entryId, beforeEntryId });
          });
        }),
    },
  };
}

function refuseClosed({ id, closedAt }: RunSheet, what: string): void {
  if (closedAt === null) return;
  throw new AppError(
    'invalid-state',
    `${what} was refused: this run sheet is closed. Nothing was changed. Make a new one for what is still to be pulled.`,
    { runSheetId: id },
  );
}
