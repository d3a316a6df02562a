import BetterSqlite3 from 'better-sqlite3';
import type { ReadableDatabase } from '../storage/database.ts';
import { translateStorageError } from '../storage/storage-errors.ts';

/** A checkpoint may hold the file for a moment. */
const BUSY_TIMEOUT_MS = 5000;
/** Each prepares a dozen statements, whose memory JavaScript does not see and so does not give back in time. */
const READS_PER_CONNECTION = 300;

export interface Reading {
  /** For the next trial or so: not to be kept, since now and then it is another connection. */
  readonly database: () => ReadableDatabase;
}

/** Connections of a work's own, closed when the work has ended. Errors: AppErrors of the database. */
export async function withReadOnlyDatabase<Result>(
  databasePath: string,
  work: (reading: Reading) => Promise<Result>,
): Promise<Result> {
  let current: BetterSqlite3.Database | null = null;
  let reads = 0;
  const database = (): ReadableDatabase => {
    if (reads >= READS_PER_CONNECTION) {
      current?.close();
      current = null;
      reads = 0;
    }
    reads += 1;
    current ??= new BetterSqlite3(databasePath, {
      readonly: true,
      fileMustExist: true,
      timeout: BUSY_TIMEOUT_MS,
    });
    return current as ReadableDatabase;
  };
  try {
    return await work({ database });
  } catch (error) {
    throw translateStorageError(error);
  } finally {
    closeIfOpen(current);
  }
}

function closeIfOpen(database: BetterSqlite3.Database | null): void {
  database?.close();
}
