import { z } from 'zod';
import { type ConfirmedSetup, confirmedSetupSchema } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { fromJsonColumn, toJsonColumn } from './json-column.ts';

export const confirmationSchema = z.strictObject({
  confirmed: confirmedSetupSchema,
  /** Of the setup from now on in hand; null: it has none. */
  packId: z.string().nullable(),
  /** The pack that was taken off for it, at rest again; null: not asked for, or none. */
  packTakenOff: z.strictObject({ packId: z.string(), restedV: z.number() }).nullable(),
});
export type Confirmation = z.infer<typeof confirmationSchema>;

export const moveSchema = z.strictObject({ beforeEntryId: z.string().nullable() });

interface EventSource {
  readonly runSheetId: string;
  readonly sessionId: string | null;
  readonly operator: string;
  readonly at: string;
}

/** Rows that only grow: what was decided about a sheet, by whom and when. */
export type RunSheetEvent = EventSource &
  (
    | { readonly kind: 'opened' }
    | { readonly kind: 'closed'; readonly reason: string }
    | { readonly kind: 'skipped'; readonly entryId: string; readonly reason: string }
    | { readonly kind: 'skipTakenBack'; readonly entryId: string }
    | { readonly kind: 'moved'; readonly entryId: string; readonly beforeEntryId: string | null }
    | { readonly kind: 'setupConfirmed'; readonly entryId: string; readonly confirmation: Confirmation }
  );

export function appendRunSheetEvent(database: WritableDatabase, event: RunSheetEvent): void {
  writing(database, () => {
    database
      .prepare(
        `INSERT INTO run_sheet_event (run_sheet_id, entry_id, session_id, kind, reason, detail_json, operator, at)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
      )
      .run(
        event.runSheetId,
        'entryId' in event ? event.entryId : null,
        event.sessionId,
        event.kind,
        'reason' in event ? event.reason : '',
        detailOf(event),
        event.operator,
        event.at,
      );
  });
}

function detailOf(event: RunSheetEvent): string | null {
  if (event.kind === 'moved') return toJsonColumn(moveSchema, { beforeEntryId: event.beforeEntryId });
  if (event.kind === 'setupConfirmed') return toJsonColumn(confirmationSchema, event.confirmation);
  return null;
}

/**
 * The setup in hand: what was confirmed last, unless another sheet came on the bench since, or this one came back to it.
 * Between two sheets, and before the first one, anything may have been pulled.
 */
export function setupInHand(database: ReadableDatabase, runSheetId: string): ConfirmedSetup | null {
  return reading(() => {
    const newest = database
      .prepare<[], { run_sheet_id: string; kind: string; detail_json: string | null }>(
        `SELECT run_sheet_id, kind, detail_json FROM run_sheet_event
         WHERE kind IN ('opened', 'setupConfirmed') ORDER BY id DESC LIMIT 1`,
      )
      .get();
    if (newest?.kind !== 'setupConfirmed' || newest.run_sheet_id !== runSheetId) return null;
    return toConfirmation(newest.detail_json ?? '').confirmed;
  });
}

/** What was found when setups were taken in hand, on whatever sheet and day, the newest first. */
export function newestConfirmations(database: ReadableDatabase, count: number): Confirmation[] {
  return reading(() =>
    database
      .prepare<[number], string>(
        `SELECT detail_json FROM run_sheet_event WHERE kind = 'setupConfirmed' ORDER BY id DESC LIMIT ?`,
      )
      .pluck()
      .all(count)
      .map(toConfirmation),
  );
}

function toConfirmation(text: string): Confirmation {
  return fromJsonColumn(confirmationSchema, text, 'confirmation of a setup');
}

/** How often a fastener was pulled in run sheets since an instant, whatever became of the trials. */
export function countFastenerPulls(database: ReadableDatabase, fastener: string, since: string): number {
  return reading(
    () =>
      database
        .prepare<[string, string], number>(
          `SELECT count(*) FROM trial
           WHERE started_at >= ? AND json_extract(preparation_json, '$.fastener') = ?`,
        )
        .pluck()
        .get(since, fastener) ?? 0,
  );
}
