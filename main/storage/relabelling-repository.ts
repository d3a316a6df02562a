import { AppError } from '../../shared-lib/app-error.ts';
import type { Relabelling } from '../../shared-lib/trial/trial-trail.ts';
import { setupAsTestedSchema } from '../../shared-lib/run-sheet/setup-model.ts';
import { type WritableDatabase, writing } from './database.ts';
import { toJsonColumn } from './json-column.ts';
import { trialNotFound } from './recording-repository.ts';
import { refreshListing } from './trial-listing.ts';

/**
 * Gives a trial that has ended another tool and setup, as they are to be shown and found from now on. What it was made with,
 * and its entry in a run sheet, stay as they were.
 *
 * Errors: AppError 'trial-not-found'; 'trial-not-finished' while it is recorded.
 */
export function relabel(database: WritableDatabase, trialId: string, relabelling: Relabelling): void {
  const { toolName, setup, reason, operator, at } = relabelling;
  writing(database, () => {
    const state = database
      .prepare<[string], string>('SELECT state FROM trial WHERE id = ?')
      .pluck()
      .get(trialId);
    if (state === undefined) throw trialNotFound(trialId);
    if (state === 'recording') {
      throw new AppError(
        'trial-not-finished',
        'This trial is still being recorded. Nothing was changed. Put its tool right when it has ended.',
        { trialId },
      );
    }
    database
      .prepare(
        'INSERT INTO relabelling (trial_id, tool_name, setup_json, reason, operator, at) VALUES (?, ?, ?, ?, ?, ?)',
      )
      .run(
        trialId,
        toolName,
        setup === null ? null : toJsonColumn(setupAsTestedSchema, setup),
        reason,
        operator,
        at,
      );
    refreshListing(database, trialId);
  });
}
