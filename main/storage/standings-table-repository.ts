import { AppError } from '../../shared-lib/app-error.ts';
import { type StandingsTable, standingsTableSchema } from '../../shared-lib/standings/standings-model.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { fromJsonColumn, toJsonColumn } from './json-column.ts';
import { foldForSearch } from './search-folding.ts';

interface TableRow {
  id: string;
  table_json: string;
}

/** Those that are not archived, in the order in which they were made. */
export function listStandingsTables(database: ReadableDatabase): StandingsTable[] {
  return reading(() =>
    database
      .prepare<[], TableRow>(
        'SELECT id, table_json FROM standings_table WHERE is_archived = 0 ORDER BY created_at, rowid',
      )
      .all()
      .map(toTable),
  );
}

/** An archived one too. Errors: AppError 'standings-not-found'. */
export function getStandingsTable(database: ReadableDatabase, tableId: string): StandingsTable {
  return reading(() => {
    const row = database
      .prepare<[string], TableRow>('SELECT id, table_json FROM standings_table WHERE id = ?')
      .get(tableId);
    if (row !== undefined) return toTable(row);
    throw new AppError(
      'standings-not-found',
      'There is no such table of standings. Nothing was changed. Choose one from the list, or make it first.',
      { tableId },
    );
  });
}

/**
 * Stores a new one, or the new form of one; its editions keep what they were made with.
 *
 * Errors: AppError 'invalid-request' where another table in use has the same name.
 */
export function saveStandingsTable(
  database: WritableDatabase,
  table: StandingsTable,
  createdAt: string,
): void {
  writing(database, () => {
    refuseTwin(database, table);
    database
      .prepare(
        `INSERT INTO standings_table (id, table_json, is_archived, created_at) VALUES (?, ?, ?, ?)
         ON CONFLICT (id) DO UPDATE SET table_json = excluded.table_json, is_archived = excluded.is_archived`,
      )
      .run(table.id, toJsonColumn(standingsTableSchema, table), Number(table.isArchived), createdAt);
  });
}

function refuseTwin(database: ReadableDatabase, { id, name, isArchived }: StandingsTable): void {
  if (isArchived) return;
  const folded = foldForSearch(name);
  const twin = listStandingsTables(database).find(
    (other) => other.id !== id && foldForSearch(other.name) === folded,
  );
  if (twin === undefined) return;
  throw new AppError(
    'invalid-request',
    `There is a table "${twin.name}" already. Nothing was stored. Give this one a name of its own.`,
    { tableId: id, twinId: twin.id },
  );
}

function toTable({ id, table_json }: TableRow): StandingsTable {
  return fromJsonColumn(standingsTableSchema, table_json, `table of standings ${id}`);
}
