import BetterSqlite3 from 'better-sqlite3';
import type { ReadableDatabase } from '../storage/database.ts';
import { migrate, newestVersion, schemaVersionOf } from '../storage/migrate.ts';
import { allMigrations } from '../storage/migrations/all-migrations.ts';
import { APPLICATION_ID } from '../storage/open-database.ts';

interface SchemaEntry {
  readonly type: string;
  readonly name: string;
  readonly sql: string;
}

/**
 * What a file has other than a database that this program makes of the same form; null: nothing.
 *
 * A checksum vouches for the way of a file, not for its maker. A database can bring rules along that run as soon as it is used: triggers that
 * change what is measured, views in the place of tables, columns that are computed; and can lack ours that guard stored data. So nothing is read from
 * its tables before this was asked. A form that is newer than ours is for others to refuse.
 */
export function strangeForm(database: ReadableDatabase): string | null {
  if (database.pragma('application_id', { simple: true }) !== APPLICATION_ID) {
    return 'its header does not say that this program made it';
  }
  const version = schemaVersionOf(database);
  if (version > newestVersion(allMigrations)) return null;
  if (!allMigrations.some((migration) => migration.version === version)) {
    return `its form ${version} is none that the program ever had`;
  }
  const found = entriesOf(database).filter(({ name }) => name !== 'backup_seal');
  const ours = new Map(formOf(version).map((entry) => [entry.name, entry]));
  for (const { type, name, sql } of found) {
    const own = ours.get(name);
    if (own === undefined) return `it has a ${type} "${shortened(name)}" that the program never makes`;
    if (own.type !== type) return `its "${name}" is a ${type}, and is to be a ${own.type}`;
    if (own.sql !== sql) return `its ${type} "${name}" is defined otherwise than the program defines it`;
    ours.delete(name);
  }
  const [missing] = ours.values();
  return missing ? `its ${missing.type} "${missing.name}" is missing` : null;
}

/** As the steps up to this form make it. */
function formOf(version: number): readonly SchemaEntry[] {
  const database = new BetterSqlite3(':memory:');
  try {
    migrate(
      database,
      allMigrations.filter((migration) => migration.version <= version),
      null,
    );
    return entriesOf(database);
  } finally {
    database.close();
  }
}

/** SQLite's own tables and indices follow from the others. Its versions differ in blanks and quotation marks where they rename. */
function entriesOf(database: BetterSqlite3.Database): readonly SchemaEntry[] {
  return database
    .prepare<[], SchemaEntry>(
      `SELECT type, name, coalesce(sql, '') AS sql FROM sqlite_schema WHERE name NOT LIKE 'sqlite\\_%' ESCAPE '\\'`,
    )
    .all()
    .map(({ type, name, sql }) => ({ type, name, sql: sql.replaceAll(/[\s"]/g, '') }));
}

function shortened(name: string): string {
  return name.length > 60 ? `${name.slice(0, 60)}…` : name;
}
