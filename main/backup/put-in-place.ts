import BetterSqlite3 from 'better-sqlite3';
import { renameSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { AppError } from '../../shared-lib/app-error.ts';
import { syncFolder } from '../storage/sync-folder.ts';

/**
 * Puts a database that is whole and on the disk in the place of one that nobody has open any more.
 *
 * One rename does it, so that a crash leaves either the old or the new one. A log that belongs to the old one must not be found beside the new one: it
 * is taken into the old one first, and where that does not work nothing is replaced.
 *
 * Errors: AppError 'database-locked' where somebody else has the database open.
 */
export function putInPlace(preparedFile: string, databasePath: string): void {
  if (sizeOf(`${databasePath}-wal`) > 0) takeInLog(databasePath);
  if (sizeOf(`${databasePath}-wal`) > 0) {
    throw new AppError(
      'database-locked',
      'Another program has the database open, so that it cannot be replaced. Nothing was changed. Close that program (a database viewer, a sync client), then restore again.',
      { path: databasePath },
    );
  }
  renameSync(preparedFile, databasePath);
  syncFolder(dirname(databasePath));
}

function takeInLog(databasePath: string): void {
  const database = new BetterSqlite3(databasePath, { fileMustExist: true });
  try {
    database.pragma('wal_checkpoint(TRUNCATE)');
  } finally {
    database.close();
  }
}

function sizeOf(path: string): number {
  return statSync(path, { throwIfNoEntry: false })?.size ?? 0;
}
