import type BetterSqlite3 from 'better-sqlite3';
import { translateStorageError } from './storage-errors.ts';

declare const access: unique symbol;

/** What a query helper takes: it cannot hand a database on to a function that writes. */
export type ReadableDatabase = BetterSqlite3.Database & { readonly [access]: 'read' | 'write' };
export type WritableDatabase = BetterSqlite3.Database & { readonly [access]: 'write' };

/** Runs queries; what SQLite has to complain about comes out as an AppError. */
export function reading<Result>(work: () => Result): Result {
  try {
    return work();
  } catch (error) {
    throw translateStorageError(error);
  }
}

/** Runs all of `work` or nothing of it; on return it is on the disk. Nested calls join the outer transaction. */
export function writing<Result>(database: WritableDatabase, work: () => Result): Result {
  try {
    return database.transaction(work).immediate();
  } catch (error) {
    throw translateStorageError(error);
  }
}
