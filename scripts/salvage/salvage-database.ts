import BetterSqlite3 from 'better-sqlite3';
import { appendFileSync } from 'node:fs';
import { AppError } from '../../shared-lib/app-error.ts';
import { decodeRun, type RawBlockColumns } from '../../main/storage/block-codec.ts';
import { newestVersion, schemaVersionOf } from '../../main/storage/migrate.ts';
import { allMigrations } from '../../main/storage/migrations/all-migrations.ts';
import { openDatabase } from '../../main/storage/open-database.ts';
import { translateStorageError } from '../../main/storage/storage-errors.ts';
import { type PutAside, putAsideOrphans } from './orphans.ts';
import {
  forEachReadableRow,
  isDamage,
  type KnownRow,
  quoted,
  type Row,
  rowsByIndex,
  type TableShape,
} from './readable-rows.ts';

/** What came of one table. */
export interface SalvagedTable {
  readonly name: string;
  readonly copiedRows: number;
  /** Rows that an index still names and the table does not hold any more; null where no index could tell. */
  readonly lostKeys: readonly string[] | null;
  /** Whether every row that there may be was tried. */
  readonly isReadToTheEnd: boolean;
}

export interface Salvage {
  readonly tables: readonly SalvagedTable[];
  /** Readable rows that the new database cannot take, each in the file of leftovers. */
  readonly putAside: readonly { readonly table: string; readonly why: string }[];
  /** References to a row that was lost, which the new database has empty. */
  readonly emptied: readonly string[];
}

/**
 * Copies everything that can be read of a database into a new one of the same form, then brings that to the newest form.
 *
 * `copyPath`: a copy of the damaged file with its log beside it, since reading it takes the log in. `leftoversPath`: rows
 * that the new one cannot take, one a line as JSON. Errors: AppError 'database-damaged' where not even the list of tables can
 * be read, 'database-too-new'; those of `openDatabase`.
 */
export function salvageDatabase(
  copyPath: string,
  target: { readonly filePath: string; readonly backupFolder: string; readonly leftoversPath: string },
): Salvage {
  const source = new BetterSqlite3(copyPath);
  const asides: { table: string; why: string }[] = [];
  const putAside: PutAside = (table, row, why) => {
    asides.push({ table, why });
    appendFileSync(target.leftoversPath, `${JSON.stringify({ table, why, row: inJson(row) })}\n`);
  };
  try {
    const form = formOf(source);
    const openAt = (migrations: typeof allMigrations) =>
      openDatabase({
        ...target,
        now: () => new Date(),
        log: { info: () => undefined, warn: () => undefined },
        migrations,
      });
    const database = openAt(allMigrations.filter(({ version }) => version <= form));
    const triggers = takeOutTriggers(database);
    database.pragma('foreign_keys = OFF');
    // Rows go in table by table; a commit each would take minutes.
    const tables = shapesOf(database).map((table) =>
      database.transaction(() => copyTable(source, database, table, putAside))(),
    );
    const emptied = database.transaction(() => putAsideOrphans(database, putAside))();
    for (const trigger of triggers) database.exec(trigger);
    database.pragma('foreign_keys = ON');
    database.close();
    openAt(allMigrations).close();
    return { tables, putAside: asides, emptied };
  } finally {
    source.close();
  }
}

/** Errors: AppError 'database-damaged', 'database-too-new'. */
function formOf(source: BetterSqlite3.Database): number {
  let form: number;
  try {
    form = schemaVersionOf(source);
    source.prepare('SELECT count(*) FROM trial').get();
  } catch (error) {
    if (!isDamage(error)) throw error;
    // The count reads all of an index, which may be what is damaged; the list of tables is what matters here.
    form = schemaVersionIfListed(source, error);
  }
  if (form > newestVersion(allMigrations)) {
    throw new AppError(
      'database-too-new',
      `The database was written by a newer version of the program (form ${form}). Nothing was changed. Salvage it with that version.`,
    );
  }
  return form;
}

function schemaVersionIfListed(source: BetterSqlite3.Database, cause: unknown): number {
  try {
    if (source.prepare(`SELECT 1 FROM sqlite_schema WHERE name = 'trial'`).get() !== undefined) {
      return schemaVersionOf(source);
    }
  } catch (error) {
    if (!isDamage(error)) throw error;
  }
  throw new AppError(
    'database-damaged',
    'Not even the list of its tables can be read, so nothing can be copied from it. Nothing was changed. Keep a copy of the file, and restore the newest backup.',
    {},
    cause,
  );
}

function takeOutTriggers(database: BetterSqlite3.Database): string[] {
  const triggers = database
    .prepare<[], { name: string; sql: string }>(`SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'`)
    .all();
  for (const { name } of triggers) database.exec(`DROP TRIGGER ${quoted(name)}`);
  return triggers.map(({ sql }) => sql);
}

function shapesOf(database: BetterSqlite3.Database): TableShape[] {
  const tables = database.pragma('table_list') as readonly {
    readonly schema: string;
    readonly name: string;
    readonly type: string;
    readonly wr: number;
  }[];
  return tables
    .filter(({ schema, name, type }) => schema === 'main' && type === 'table' && !name.startsWith('sqlite_'))
    .map(({ name, wr }) => {
      const columns = database.pragma(`table_xinfo(${quoted(name)})`) as readonly {
        readonly name: string;
        readonly hidden: number;
        readonly pk: number;
      }[];
      const keys = columns.filter(({ pk }) => pk > 0).sort((one, other) => one.pk - other.pk);
      return {
        name,
        columns: columns.filter(({ hidden }) => hidden === 0).map((column) => column.name),
        keyColumns: wr === 1 ? keys.map((column) => column.name) : null,
      };
    });
}

function copyTable(
  source: BetterSqlite3.Database,
  database: BetterSqlite3.Database,
  table: TableShape,
  putAside: PutAside,
): SalvagedTable {
  const { name, columns } = table;
  const insert = database.prepare(
    `INSERT INTO ${quoted(name)} (${columns.map(quoted).join(', ')}) VALUES (${columns.map(() => '?').join(', ')})`,
  );
  const seen = new Set<number>();
  let copiedRows = 0;
  const known = knownRows(source, table);
  const take = (row: Row, rowid: number | null): void => {
    if (rowid !== null) seen.add(rowid);
    const refuted = whyRefuted(name, row);
    if (refuted !== null) {
      putAside(name, row, refuted);
      return;
    }
    try {
      insert.run(...columns.map((column) => row[column]));
      copiedRows += 1;
    } catch (error) {
      // A damaged page can read as rows that never were; a full disk is no matter of the row.
      if (!(error instanceof BetterSqlite3.SqliteError) || !error.code.startsWith('SQLITE_CONSTRAINT')) {
        throw translateStorageError(error);
      }
      putAside(name, row, error.message);
    }
  };
  try {
    const isReadToTheEnd = forEachReadableRow(source, table, known, take);
    const lostKeys = known?.filter(({ rowid }) => !seen.has(rowid)).map(({ key }) => key) ?? null;
    return { name, copiedRows, lostKeys, isReadToTheEnd };
  } catch (error) {
    // A table that its own list does not name any more.
    if (!isDamage(error)) throw error;
    return { name, copiedRows, lostKeys: null, isReadToTheEnd: false };
  }
}

function knownRows(source: BetterSqlite3.Database, table: TableShape): readonly KnownRow[] | null {
  try {
    return rowsByIndex(source, table);
  } catch (error) {
    if (!isDamage(error)) throw error;
    return null;
  }
}

/** Why the samples of a row cannot be trusted, or null. With them the program would not read the trial at all. */
function whyRefuted(table: string, row: Row): string | null {
  if (table !== 'raw_block') return null;
  try {
    decodeRun(row as unknown as RawBlockColumns, String(row['trial_id']));
    return null;
  } catch (error) {
    if (!(error instanceof AppError)) throw error;
    const { firstSlot, slotCount } = error.details as { firstSlot: number; slotCount: number };
    return `The samples ${firstSlot} to ${firstSlot + slotCount - 1} of trial ${String(row['trial_id'])} are damaged, and count as lost there.`;
  }
}

function inJson(row: Row): Record<string, unknown> {
  return Object.fromEntries(
    Object.entries(row).map(([column, value]) => [
      column,
      value instanceof Uint8Array ? { base64: Buffer.from(value).toString('base64') } : value,
    ]),
  );
}
