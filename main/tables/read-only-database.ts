import BetterSqlite3 from 'better-sqlite3';
import type { ReadableDatabase } from '../storage/database.ts';
import { translateStorageError } from '../storage/storage-errors.ts';

/** A checkpoint may hold the file for a moment. */
const BUSY_TIMEOUT_MS = 5000;

/** A connection of a work's own, closed when the work has ended. Errors: AppErrors of the database. */
export async function withReadOnlyDatabase<Result>(
  databasePath: string,
  work: (database: ReadableDatabase) => Promise<Result>,
): Promise<Result> {
  let database: BetterSqlite3.Database | null = null;
  try {
    database = new BetterSqlite3(databasePath, {
      readonly: true,
      fileMustExist: true,
      timeout: BUSY_TIMEOUT_MS,
    });
    return await work(database as ReadableDatabase);
  } catch (error) {
    throw translateStorageError(error);
  } finally {
    database?.close();
  }
}
