import type BetterSqlite3 from 'better-sqlite3';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Migration } from './migrations/all-migrations.ts';
import { translateStorageError } from './storage-errors.ts';

export function schemaVersionOf(database: BetterSqlite3.Database): number {
  return Number(database.pragma('user_version', { simple: true }));
}

export function newestVersion(migrations: readonly Migration[]): number {
  return migrations.at(-1)?.version ?? 0;
}

/**
 * Takes the database to the newest schema, each step in a transaction of its own with its version number.
 *
 * `backupPath`: where the copy from before lies, for the message; null for a new database.
 * Errors: AppError 'migration-failed' or 'disk-full'; the database is then as it was after the last step that worked.
 */
export function migrate(
  database: BetterSqlite3.Database,
  migrations: readonly Migration[],
  backupPath: string | null,
): void {
  refuseDisorder(migrations);
  // A step that builds a table anew drops the old one, which foreign keys would take amiss; they are checked at its end.
  database.pragma('foreign_keys = OFF');
  try {
    for (const migration of migrations) {
      if (migration.version > schemaVersionOf(database)) runStep(database, migration, backupPath);
    }
  } finally {
    database.pragma('foreign_keys = ON');
  }
}

function runStep(database: BetterSqlite3.Database, migration: Migration, backupPath: string | null): void {
  const step = database.transaction(() => {
    migration.up(database);
    const broken = database.pragma('foreign_key_check') as readonly { readonly table: string }[];
    if (broken[0])
      throw new Error(`${broken.length} rows point nowhere, the first in table ${broken[0].table}`);
    database.pragma(`user_version = ${migration.version}`);
  });
  try {
    step.immediate();
  } catch (error) {
    const translated = translateStorageError(error);
    if (translated instanceof AppError && translated.code === 'disk-full') throw translated;
    const reason = error instanceof Error ? error.message : String(error);
    const copy = backupPath === null ? '' : ` A copy from before the change is ${backupPath}.`;
    throw new AppError(
      'migration-failed',
      `The database could not be brought to form ${migration.version} of this version of the program (${reason}). The step was undone: the data is as it was.${copy} Go on with the version of the program that you used before, and report this.`,
      { schemaVersion: migration.version, backupPath },
      error,
    );
  }
}

function refuseDisorder(migrations: readonly Migration[]): void {
  migrations.forEach((migration, index) => {
    const before = migrations[index - 1]?.version ?? 0;
    if (!Number.isInteger(migration.version) || migration.version <= before) {
      throw new Error(`Migration ${migration.version} must come with a number above ${before}`);
    }
  });
}
