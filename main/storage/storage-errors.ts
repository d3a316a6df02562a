import BetterSqlite3 from 'better-sqlite3';
import { AppError } from '../../shared-lib/app-error.ts';

/**
 * Turns what SQLite reports about the disk or the file into an AppError. Anything else, a broken constraint above all,
 * is a bug and comes back as it is.
 */
export function translateStorageError(error: unknown): unknown {
  if (!(error instanceof BetterSqlite3.SqliteError)) return error;
  const details = { sqliteCode: error.code };
  switch (primaryCode(error.code)) {
    case 'SQLITE_FULL':
      return new AppError(
        'disk-full',
        'The disk is full, so the newest data could not be written. Everything stored before is safe. Make space, then go on.',
        details,
        error,
      );
    case 'SQLITE_BUSY':
    case 'SQLITE_LOCKED':
      return new AppError(
        'database-locked',
        'Another program holds the database, so nothing can be read from it or written to it now. The data is untouched. Close the other program (a database viewer, a backup, a sync client), then try again.',
        details,
        error,
      );
    case 'SQLITE_CORRUPT':
    case 'SQLITE_NOTADB':
      return new AppError(
        'database-damaged',
        `The database file is damaged (${error.message}). Nothing was changed in it. Close the program, keep a copy of the file, and put back the newest backup.`,
        details,
        error,
      );
    case 'SQLITE_READONLY':
    case 'SQLITE_CANTOPEN':
    case 'SQLITE_PERM':
      return new AppError(
        'data-folder-unusable',
        `The database cannot be opened for writing (${error.message}). The data is untouched. Give your user rights to write in the data folder, or choose another folder with --data.`,
        details,
        error,
      );
    case 'SQLITE_IOERR':
    case 'SQLITE_PROTOCOL':
      return new AppError(
        'storage-failed',
        `The disk did not do what was asked (${error.message}), so the newest data may be missing. What was stored before stays as it is. Check the disk and its cable, then start the program again.`,
        details,
        error,
      );
    default:
      return error;
  }
}

/** Extended codes start with the primary one: SQLITE_IOERR_WRITE, SQLITE_BUSY_RECOVERY. */
function primaryCode(code: string): string {
  return code.split('_').slice(0, 2).join('_');
}

/** A failed file operation on the data folder or what lies in it. */
export function translateFolderError(error: unknown, folder: string): unknown {
  const reason = folderProblem(errnoOf(error));
  if (reason === null) return error;
  if (reason === 'full') {
    return new AppError(
      'disk-full',
      `The disk under ${folder} is full. Everything stored before is safe. Make space, then start again.`,
      { path: folder },
      error,
    );
  }
  return new AppError(
    'data-folder-unusable',
    `The data folder ${folder} cannot be used: ${reason}. Nothing was changed. Give your user rights to write there, or choose another folder with --data.`,
    { path: folder },
    error,
  );
}

export function errnoOf(error: unknown): string | null {
  return error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : null;
}

function folderProblem(errno: string | null): string | null {
  switch (errno) {
    case 'ENOSPC':
    case 'EDQUOT':
      return 'full';
    case 'EACCES':
    case 'EPERM':
      return 'your user may not write there';
    case 'EROFS':
      return 'it lies on a disk that can only be read';
    case 'ENOTDIR':
    case 'EEXIST':
      return 'there is a file where a folder should be';
    case 'ENOENT':
      return 'it does not exist and cannot be made';
    default:
      return null;
  }
}
