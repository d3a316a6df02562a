import type { ReadableDatabase, WritableDatabase } from '../storage/database.ts';
import { planOf, type RowComparison } from './compare-rows.ts';
import type { StagedPackage } from './stage-package.ts';

type Read = Pick<StagedPackage, 'staging' | 'manifest'>;

/** What has come to its end on the bench that it came from, and has not here. */
export interface EndedSince {
  readonly sessionIds: readonly string[];
  readonly calibrationIds: readonly string[];
}

export function endedSince(
  { staging, manifest }: Read,
  here: ReadableDatabase,
  rows: RowComparison,
): EndedSince {
  const endedThere = (table: string, column: string): string[] => {
    const isEnded = staging.prepare<[string]>(
      `SELECT 1 FROM ${table} WHERE id = ? AND ${column} IS NOT NULL`,
    );
    // Of another bench's rows alone: anybody can write this one's identity into a package.
    const isOpenHere = here.prepare<[string, string]>(
      `SELECT 1 FROM ${table} JOIN imported_row ON table_name = '${table}' AND row_key = ${table}.id
         JOIN bench ON bench.id = bench_id AND is_own = 0
       WHERE ${table}.id = ? AND ${column} IS NULL AND bench_id = ?`,
    );
    return [...planOf(rows, table).otherwise].filter(
      (id) => isEnded.get(id) !== undefined && isOpenHere.get(id, manifest.bench.id) !== undefined,
    );
  };
  return {
    sessionIds: endedThere('session', 'ended_at'),
    calibrationIds: endedThere('calibration', 'superseded_at'),
  };
}

/**
 * What has moved on since on the bench that a row came from: a decision about a trial, the end of a session, a calibration that was
 * superseded, an order of pulls. Only forward: nothing that moved on here is taken back, and what is one's own is left alone.
 */
export function takeOverChanges(read: Read, here: WritableDatabase, rows: RowComparison): void {
  const { staging } = read;
  const copy = (table: string, columns: readonly string[], keys: Iterable<string>): void => {
    const select = staging.prepare<[string], Record<string, string | number | null>>(
      `SELECT id, ${columns.join(', ')} FROM ${table} WHERE id = ?`,
    );
    const update = here.prepare(
      `UPDATE ${table} SET ${columns.map((name) => `${name} = @${name}`).join(', ')} WHERE id = @id`,
    );
    for (const key of keys) {
      const row = select.get(key);
      if (row) update.run(row);
    }
  };
  const { sessionIds, calibrationIds } = endedSince(read, here, rows);
  copy('trial', ['state', 'is_voided'], planOf(rows, 'trial_decision').extended);
  copy(
    'session',
    [
      'safety_confirmed_at',
      'ended_at',
      'rig_note',
      'ambient_c',
      'relative_humidity_percent',
      'air_pressure_hpa',
    ],
    sessionIds,
  );
  copy('calibration', ['superseded_at', 'supersede_reason'], calibrationIds);
  copy('run_sheet_entry', ['position'], movedEntries(staging, rows));
}

/** Entries of sheets that something happened on since, in the order that came of it. */
function movedEntries(staging: ReadableDatabase, rows: RowComparison): string[] {
  const { extended } = planOf(rows, 'run_sheet_event');
  const { otherwise } = planOf(rows, 'run_sheet_entry');
  return staging
    .prepare<[], { id: string; sheetId: string }>('SELECT id, run_sheet_id AS sheetId FROM run_sheet_entry')
    .all()
    .filter(({ id, sheetId }) => extended.has(sheetId) && otherwise.has(id))
    .map(({ id }) => id);
}
