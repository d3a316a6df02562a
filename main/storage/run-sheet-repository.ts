import { AppError } from '../../shared-lib/app-error.ts';
import type { PlannedEntry } from '../../shared-lib/run-sheet/expand-run-sheet.ts';
import { planSchema } from '../../shared-lib/run-sheet/plan-model.ts';
import {
  type RunSheet,
  type RunSheetEntry,
  runSheetEntrySchema,
  runSheetSchema,
  type RunSheetSummary,
  runSheetSummarySchema,
} from '../../shared-lib/run-sheet/run-sheet-model.ts';
import { setupAsTestedSchema } from '../../shared-lib/run-sheet/setup-model.ts';
import { stepSchema } from '../../shared-lib/trial/step-model.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { fromJsonColumn, toJsonColumn } from './json-column.ts';

export interface NewRunSheet extends Omit<RunSheet, 'closedAt' | 'entries'> {
  readonly entries: readonly (PlannedEntry & { readonly id: string })[];
}

/** `done` by a trial that is kept and not voided; `skipped` by the newest decision about it, unless it is done after all. */
const stateOfEntry = `
CASE
  WHEN EXISTS (SELECT 1 FROM trial WHERE trial.entry_id = entry.id AND state = 'kept' AND is_voided = 0) THEN 'done'
  WHEN (
    SELECT kind FROM run_sheet_event AS decided
    WHERE decided.entry_id = entry.id AND kind IN ('skipped', 'skipTakenBack') ORDER BY id DESC LIMIT 1
  ) = 'skipped' THEN 'skipped'
  ELSE 'open'
END`;

const closedAt = `(SELECT at FROM run_sheet_event WHERE run_sheet_id = sheet.id AND kind = 'closed' LIMIT 1)`;

/** Stores a sheet with all its entries in their order: all or nothing. */
export function insertRunSheet(database: WritableDatabase, sheet: NewRunSheet): void {
  writing(database, () => {
    database
      .prepare(
        `INSERT INTO run_sheet (id, name, created_at, operator, plan_json, pull_order, seed, reference_setup_id)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
      )
      .run(
        sheet.id,
        sheet.name,
        sheet.createdAt,
        sheet.operator,
        toJsonColumn(planSchema, sheet.plan),
        sheet.order,
        sheet.seed,
        sheet.referenceSetupId,
      );
    const insertEntry = database.prepare(
      `INSERT INTO run_sheet_entry (id, run_sheet_id, position, setup_json, step_json, role, round, repeat, rest_s)
       VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
    );
    for (const [position, entry] of sheet.entries.entries()) {
      insertEntry.run(
        entry.id,
        sheet.id,
        position,
        toJsonColumn(setupAsTestedSchema, entry.setup),
        toJsonColumn(stepSchema, entry.step),
        entry.role,
        entry.round,
        entry.repeat,
        entry.restS,
      );
    }
  });
}

interface SheetRow {
  id: string;
  name: string;
  created_at: string;
  operator: string;
  plan_json: string;
  pull_order: string;
  seed: number;
  reference_setup_id: string | null;
  closed_at: string | null;
}

/** A sheet as far as it has come. Errors: AppError 'run-sheet-not-found'. */
export function getRunSheet(database: ReadableDatabase, id: string): RunSheet {
  return reading(() => {
    const row = database
      .prepare<[string], SheetRow>(
        `SELECT sheet.*, ${closedAt} AS closed_at FROM run_sheet AS sheet WHERE id = ?`,
      )
      .get(id);
    if (row === undefined) {
      throw new AppError(
        'run-sheet-not-found',
        'There is no such run sheet. Nothing was changed. Choose one from the list of run sheets.',
        { runSheetId: id },
      );
    }
    return runSheetSchema.parse({
      id,
      name: row.name,
      createdAt: row.created_at,
      operator: row.operator,
      plan: fromJsonColumn(planSchema, row.plan_json, `plan of run sheet ${id}`),
      order: row.pull_order,
      seed: row.seed,
      referenceSetupId: row.reference_setup_id,
      closedAt: row.closed_at,
      entries: listEntries(database, id),
    });
  });
}

interface EntryRow extends Pick<RunSheetEntry, 'id' | 'role' | 'round' | 'repeat' | 'state' | 'skipReason'> {
  setup_json: string;
  step_json: string;
  rest_s: number;
}

function listEntries(database: ReadableDatabase, runSheetId: string): RunSheetEntry[] {
  const trialIds = Map.groupBy(
    database
      .prepare<[string], { id: string; entryId: string }>(
        'SELECT id, entry_id AS entryId FROM trial WHERE run_sheet_id = ? ORDER BY started_at, id',
      )
      .all(runSheetId),
    ({ entryId }) => entryId,
  );
  return database
    .prepare<[string], EntryRow>(
      `SELECT id, setup_json, step_json, role, round, repeat, rest_s, ${stateOfEntry} AS state,
         (SELECT reason FROM run_sheet_event AS decided
          WHERE decided.entry_id = entry.id AND kind IN ('skipped', 'skipTakenBack') ORDER BY id DESC LIMIT 1)
           AS skipReason
       FROM run_sheet_entry AS entry WHERE run_sheet_id = ? ORDER BY position`,
    )
    .all(runSheetId)
    .map((row) =>
      runSheetEntrySchema.parse({
        id: row.id,
        setup: fromJsonColumn(setupAsTestedSchema, row.setup_json, `setup of entry ${row.id}`),
        step: fromJsonColumn(stepSchema, row.step_json, `step of entry ${row.id}`),
        role: row.role,
        round: row.round,
        repeat: row.repeat,
        restS: row.rest_s,
        state: row.state,
        skipReason: row.state === 'skipped' ? row.skipReason : null,
        trialIds: trialIds.get(row.id)?.map(({ id }) => id) ?? [],
      }),
    );
}

/** All sheets, the newest first, with how far their counted pulls have come. */
export function listRunSheets(database: ReadableDatabase): RunSheetSummary[] {
  return reading(() =>
    database
      .prepare<[], RunSheetSummary>(
        `SELECT sheet.id, sheet.name, sheet.created_at AS createdAt, ${closedAt} AS closedAt,
           json_extract(sheet.plan_json, '$.name') AS planName,
           count(DISTINCT json_extract(entry.setup_json, '$.setupId')) AS setupCount,
           count(*) FILTER (WHERE entry.state = 'done') AS doneCount,
           count(*) FILTER (WHERE entry.state = 'skipped') AS skippedCount,
           count(*) AS totalCount
         FROM run_sheet AS sheet JOIN (
           SELECT run_sheet_id, setup_json, ${stateOfEntry} AS state FROM run_sheet_entry AS entry
           WHERE role = 'counted'
         ) AS entry ON entry.run_sheet_id = sheet.id
         GROUP BY sheet.id ORDER BY sheet.created_at DESC, sheet.rowid DESC`,
      )
      .all()
      .map((row) => runSheetSummarySchema.parse(row)),
  );
}

/** The sheet that an entry belongs to. Errors: AppError 'run-sheet-not-found'. */
export function sheetOfEntry(database: ReadableDatabase, entryId: string): RunSheet {
  return reading(() => {
    const runSheetId = database
      .prepare<[string], string>('SELECT run_sheet_id FROM run_sheet_entry WHERE id = ?')
      .pluck()
      .get(entryId);
    if (runSheetId === undefined) throw entryNotFound(entryId);
    return getRunSheet(database, runSheetId);
  });
}

export function entryNotFound(entryId: string): AppError {
  return new AppError(
    'run-sheet-not-found',
    'There is no such pull in this run sheet. Nothing was changed. Open the run sheet to see the pulls that it has.',
    { entryId },
  );
}

/** Puts an entry before another one of its sheet, or to the end. What may move is for the caller to say. */
export function placeEntry(
  database: WritableDatabase,
  runSheetId: string,
  entryId: string,
  beforeEntryId: string | null,
): void {
  writing(database, () => {
    const position =
      beforeEntryId === null
        ? database
            .prepare<[string], number>('SELECT max(position) + 1 FROM run_sheet_entry WHERE run_sheet_id = ?')
            .pluck()
            .get(runSheetId)
        : database
            .prepare<[string, string], number>(
              'SELECT position FROM run_sheet_entry WHERE run_sheet_id = ? AND id = ?',
            )
            .pluck()
            .get(runSheetId, beforeEntryId);
    if (position === undefined) throw entryNotFound(beforeEntryId ?? entryId);
    database
      .prepare('UPDATE run_sheet_entry SET position = position + 1 WHERE run_sheet_id = ? AND position >= ?')
      .run(runSheetId, position);
    database.prepare('UPDATE run_sheet_entry SET position = ? WHERE id = ?').run(position, entryId);
  });
}
