import BetterSqlite3 from 'better-sqlite3';
import type { ReadableDatabase } from '../storage/database.ts';
import { translateStorageError } from '../storage/storage-errors.ts';

const BUSY_TIMEOUT_MS = 5000;

/** The database as it stands now, whatever is written to it meanwhile. To be closed by whoever opened it. */
export function openSnapshot(databasePath: string): ReadableDatabase {
  try {
    const database = new BetterSqlite3(databasePath, {
      readonly: true,
      fileMustExist: true,
      timeout: BUSY_TIMEOUT_MS,
    });
    // Lists of what was chosen are small, and shall not depend on where temporary files may lie.
    database.pragma('temp_store = MEMORY');
    database.exec('BEGIN');
    return database as ReadableDatabase;
  } catch (error) {
    throw translateStorageError(error);
  }
}
