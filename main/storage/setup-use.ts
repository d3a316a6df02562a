import { AppError } from '../../shared-lib/app-error.ts';
import type { Setup } from '../../shared-lib/run-sheet/setup-model.ts';
import { isSameSetup, type SetupUse, setupUseWords } from '../../shared-lib/run-sheet/setup-use.ts';
import { type ReadableDatabase, reading } from './database.ts';

/** What goes by a setup now; one that is not there has nothing. */
export function readSetupUse(database: ReadableDatabase, setupId: string): SetupUse {
  return reading(() => ({
    trialCount:
      database
        .prepare<[string], number>('SELECT count(*) FROM trial WHERE shown_setup_id = ?')
        .pluck()
        .get(setupId) ?? 0,
    openRunSheets: database
      .prepare<[string], string>(
        `SELECT name FROM run_sheet AS sheet WHERE EXISTS (
           SELECT 1 FROM run_sheet_entry WHERE run_sheet_id = sheet.id AND json_extract(setup_json, '$.setupId') = ?
         ) AND NOT EXISTS (SELECT 1 FROM run_sheet_event WHERE run_sheet_id = sheet.id AND kind = 'closed')
         ORDER BY created_at, id`,
      )
      .pluck()
      .all(setupId),
  }));
}

/**
 * Trials keep a copy of their setup, but are compared and ranked by what its id stands for now.
 *
 * Errors: AppError 'invalid-state' where `after` is of another tool, pack, setting or socket and something goes by `before`.
 */
export function refuseOtherSetup(database: ReadableDatabase, before: Setup, after: Setup): void {
  if (isSameSetup(before, after)) return;
  const use = readSetupUse(database, before.id);
  const words = setupUseWords(use);
  if (words === null) return;
  const orElse =
    use.trialCount > 0
      ? '; trials that were pulled otherwise are put right in the Logbook.'
      : ', or close the run sheet first.';
  throw new AppError(
    'invalid-state',
    `${words}, so its tool, pack, setting and socket stay as they are: its trials would count as those of another one. Nothing was stored. Add another setup for what is different${orElse}`,
    { setupId: before.id, trialCount: use.trialCount },
  );
}
