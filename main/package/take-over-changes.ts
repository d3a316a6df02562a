import type { ReadableDatabase, WritableDatabase } from '../storage/database.ts';
import type { PackageComparison } from './compare-package.ts';
import { planOf } from './compare-rows.ts';
import type { StagedPackage } from './stage-package.ts';

/**
 * What has moved on since on the bench that a row came from: a decision about a trial, the end of a session, a calibration that was
 * superseded, an order of pulls. Only forward: nothing that moved on here is taken back, and what is one's own is left alone.
 */
export function takeOverChanges(
  { staging, manifest }: Pick<StagedPackage, 'staging' | 'manifest'>,
  here: WritableDatabase,
  compared: PackageComparison,
): void {
  const copy = (table: string, columns: readonly string[], keys: Iterable<string>, condition = ''): void => {
    const select = staging.prepare<[string], Record<string, string | number | null>>(
      `SELECT id, ${columns.join(', ')} FROM ${table} WHERE id = ?`,
    );
    const update = here.prepare(
      `UPDATE ${table} SET ${columns.map((name) => `${name} = @${name}`).join(', ')} WHERE id = @id ${condition}`,
    );
    for (const key of keys) {
      const row = select.get(key);
      if (row) update.run({ ...row, bench: manifest.bench.id });
    }
  };
  copy('trial', ['state', 'is_voided'], planOf(compared, 'trial_decision').extended);
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
    planOf(compared, 'session').otherwise,
    `AND ended_at IS NULL AND @ended_at IS NOT NULL AND ${cameIn('session')}`,
  );
  copy(
    'calibration',
    ['superseded_at', 'supersede_reason'],
    planOf(compared, 'calibration').otherwise,
    `AND superseded_at IS NULL AND @superseded_at IS NOT NULL AND ${cameIn('calibration')}`,
  );
  copy('run_sheet_entry', ['position'], movedEntries(staging, compared));
}

function cameIn(table: string): string {
  return `EXISTS (SELECT 1 FROM imported_row WHERE table_name = '${table}' AND row_key = ${table}.id AND bench_id = @bench)`;
}

/** Entries of sheets that something happened on since, in the order that came of it. */
function movedEntries(staging: ReadableDatabase, compared: PackageComparison): string[] {
  const { extended } = planOf(compared, 'run_sheet_event');
  const { otherwise } = planOf(compared, 'run_sheet_entry');
  return staging
    .prepare<[], { id: string; sheetId: string }>('SELECT id, run_sheet_id AS sheetId FROM run_sheet_entry')
    .all()
    .filter(({ id, sheetId }) => extended.has(sheetId) && otherwise.has(id))
    .map(({ id }) => id);
}
