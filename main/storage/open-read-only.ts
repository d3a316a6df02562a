import BetterSqlite3 from 'better-sqlite3';
import type { ReadableDatabase } from './database.ts';
import { translateStorageError } from './storage-errors.ts';

/** A checkpoint may hold the file for a moment. */
const BUSY_TIMEOUT_MS = 5000;

/** A connection that cannot write, to be closed by whoever opened it. Errors: AppErrors of the database. */
export function openReadOnly(databasePath: string): ReadableDatabase {
  try {
    return new BetterSqlite3(databasePath, {
      readonly: true,
      fileMustExist: true,
      timeout: BUSY_TIMEOUT_MS,
    }) as ReadableDatabase;
  } catch (error) {
    throw translateStorageError(error);
  }
}

/** The database as it stands now, whatever is written to it meanwhile. */
export function openSnapshot(databasePath: string): ReadableDatabase {
  const database = openReadOnly(databasePath);
  try {
    // Lists of what was chosen are small, and shall not depend on where temporary files may lie.
    database.pragma('temp_store = MEMORY');
    database.exec('BEGIN');
    return database;
  } catch (error) {
    database.close();
    throw translateStorageError(error);
  }
}
