import type { RequestParams, RequestResult } from '../../shared-lib/api-contract.ts';
import type { TrialMeasure } from '../../shared-lib/comparison/trial-measure.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';

/** Ours: a difference that most who choose a tool by its torque would act on. */
export const DEFAULT_MARGIN_PERCENT = 5;

export function insertMargin(
  database: WritableDatabase,
  { figure, marginPercent }: RequestParams<'setMargin'>,
  { operator, at }: { readonly operator: string; readonly at: string },
): void {
  writing(database, () => {
    database
      .prepare('INSERT INTO comparison_margin (figure, margin_percent, operator, at) VALUES (?, ?, ?, ?)')
      .run(figure, marginPercent, operator, at);
  });
}

/** All that were ever chosen, the newest first. */
export function listMargins(database: ReadableDatabase): RequestResult<'listMargins'>['margins'] {
  return reading(() =>
    database
      .prepare<[], RequestResult<'listMargins'>['margins'][number]>(
        'SELECT figure, margin_percent AS marginPercent, operator, at FROM comparison_margin ORDER BY id DESC',
      )
      .all(),
  );
}

/**
 * The margin that was fixed for a figure before the earliest of these sessions began, in percent: one chosen afterwards could
 * have been chosen for its result.
 */
export function marginBefore(
  database: ReadableDatabase,
  figure: TrialMeasure['figure'],
  sessionIds: readonly string[],
): number {
  return reading(
    () =>
      database
        .prepare<[string, string], number>(
          `SELECT margin_percent FROM comparison_margin
           WHERE figure = ? AND at < (
             SELECT min(started_at) FROM session WHERE id IN (SELECT value FROM json_each(?))
           )
           ORDER BY id DESC LIMIT 1`,
        )
        .pluck()
        .get(figure, JSON.stringify(sessionIds)) ?? DEFAULT_MARGIN_PERCENT,
  );
}
