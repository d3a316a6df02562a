import BetterSqlite3 from 'better-sqlite3';
import { randomUUID } from 'node:crypto';
import { mkdirSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { WritableDatabase } from '../storage/database.ts';
import { migrate } from '../storage/migrate.ts';
import { allMigrations } from '../storage/migrations/all-migrations.ts';
import { translateFolderError, translateStorageError } from '../storage/storage-errors.ts';

/**
 * A database of the package alone, beside ours: what does not go into it would not go into ours. Its checks, keys and references are
 * those of the program; the triggers that keep work at the bench in order are left out, since here all comes at once.
 */
export interface Staging {
  readonly database: WritableDatabase;
  /** Closes and removes it. */
  readonly remove: () => void;
}

/** Those that say something about rows by themselves, and those that the program reads a trial by. */
const keptTriggers = [
  'calibration_assignment_stays_with_the_transducer',
  'evaluation_is_listed',
  'keeping_is_listed',
];

/** In the folder of files that came in, which every start empties. */
export function createStaging(databasePath: string): Staging {
  const folder = join(dirname(databasePath), 'incoming');
  const path = join(folder, `${randomUUID()}.staging`);
  const removeFiles = (): void => {
    for (const ending of ['', '-journal']) rmSync(`${path}${ending}`, { force: true });
  };
  let database: BetterSqlite3.Database | null = null;
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    database = new BetterSqlite3(path);
    // It is thrown away whatever becomes of it, so nothing is ever committed.
    database.pragma('journal_mode = MEMORY');
    database.pragma('synchronous = OFF');
    migrate(database, allMigrations, null);
    dropTriggers(database);
    database.exec(`
CREATE TABLE slots_of_trial (trial_id TEXT PRIMARY KEY, slot_count INTEGER NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE origin (table_name TEXT NOT NULL, row_key TEXT NOT NULL, bench_id TEXT NOT NULL REFERENCES bench (id),
  PRIMARY KEY (table_name, row_key)) STRICT, WITHOUT ROWID;
BEGIN;`);
  } catch (error) {
    database?.close();
    removeFiles();
    throw translateStorageError(translateFolderError(error, folder));
  }
  const opened = database as WritableDatabase;
  return {
    database: opened,
    remove: () => {
      opened.close();
      removeFiles();
    },
  };
}

function dropTriggers(database: BetterSqlite3.Database): void {
  const triggers = database
    .prepare<[], string>(`SELECT name FROM sqlite_schema WHERE type = 'trigger'`)
    .pluck()
    .all();
  for (const name of triggers) if (!keptTriggers.includes(name)) database.exec(`DROP TRIGGER ${name}`);
}
