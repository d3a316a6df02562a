import { packageTables } from '../../../shared-lib/package/package-tables.ts';
import type { ReadableDatabase } from '../../../main/storage/database.ts';

/** All that a package can change, as one text that is the same only where nothing was. `without`: tables that may differ. */
export function everyRow(database: ReadableDatabase, without: readonly string[] = []): string {
  const tables = [
    ...packageTables.map(({ name }) => name),
    'raw_block',
    'import',
    'imported_row',
    'trial_score',
    'score_group',
  ];
  return JSON.stringify(
    tables
      .filter((name) => name !== 'origin' && !without.includes(name))
      .map((name) => [name, database.prepare(`SELECT * FROM ${name} ORDER BY 1, 2`).all()]),
  );
}
