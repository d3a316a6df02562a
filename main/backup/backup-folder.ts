import BetterSqlite3 from 'better-sqlite3';
import { mkdirSync, readdirSync, rmSync, statSync } from 'node:fs';
import { basename, join } from 'node:path';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Backup } from '../../shared-lib/backup/backup-requests.ts';
import { translateFolderError } from '../storage/storage-errors.ts';
import { readSeal } from './backup-seal.ts';

const NAME = /^backup-.*\.sqlite$/;
const UNFINISHED_NAME = /^backup-.*\.sqlite\.part(-journal|-wal|-shm)?$/;

export interface BackupFolder {
  readonly path: string;
  /** Newest first; what cannot be read as a backup is named apart. */
  list(): { readonly backups: readonly Backup[]; readonly unreadable: readonly string[] };
  /** A name of its own for a backup that is to be made; the folder is there then. */
  newFile(madeAt: string, why: Backup['why']): string;
  /** Errors: AppError 'backup-not-found'; also for a name that leads out of the folder. */
  fileOf(fileName: string): string;
  /** Errors: as `fileOf`; plainly where the system does not let it go. */
  remove(fileName: string): void;
  /** What the program could not finish before it ended. */
  sweep(): void;
}

/** The backups in one folder, as their own seals say what they are. */
export function createBackupFolder(path: string): BackupFolder {
  const names = (): string[] => {
    const isThere = statSync(path, { throwIfNoEntry: false })?.isDirectory() === true;
    return isThere ? readdirSync(path).filter((name) => NAME.test(name)) : [];
  };
  const fileOf = (fileName: string): string => {
    if (basename(fileName) === fileName && names().includes(fileName)) return join(path, fileName);
    throw new AppError('backup-not-found', `There is no backup ${fileName} any more. Choose another one.`);
  };
  return {
    path,
    list() {
      const backups: Backup[] = [];
      const unreadable: string[] = [];
      for (const fileName of names()) {
        const backup = readBackup(join(path, fileName));
        if (backup === null) unreadable.push(fileName);
        else backups.push(backup);
      }
      backups.sort((a, b) => (a.madeAt < b.madeAt ? 1 : -1));
      return { backups, unreadable };
    },
    newFile(madeAt, why) {
      try {
        mkdirSync(path, { recursive: true, mode: 0o700 });
      } catch (error) {
        throw translateFolderError(error, path);
      }
      const time = madeAt.replaceAll(/[:.-]/g, '');
      return join(path, `backup-${time}-${fileWords[why]}.sqlite`);
    },
    fileOf,
    remove(fileName) {
      rmSync(fileOf(fileName), { force: true });
    },
    sweep() {
      const isThere = statSync(path, { throwIfNoEntry: false })?.isDirectory() === true;
      const left = isThere ? readdirSync(path).filter((name) => UNFINISHED_NAME.test(name)) : [];
      for (const name of left) rmSync(join(path, name), { force: true });
    },
  };
}

/** What stands under another name until a backup is whole, with SQLite's own files beside it. */
export function unfinishedOf(targetFile: string): string[] {
  return ['', '-journal', '-wal', '-shm'].map((ending) => `${targetFile}.part${ending}`);
}

const fileWords: Readonly<Record<Backup['why'], string>> = {
  daily: 'daily',
  asked: 'asked-for',
  beforeRestore: 'before-restore',
};

/** By its seal alone; null: it has none that can be read. */
function readBackup(path: string): Backup | null {
  let file: BetterSqlite3.Database | null = null;
  try {
    file = new BetterSqlite3(path, { readonly: true, fileMustExist: true });
    const { madeAt, why, benchName, trialCount } = readSeal(file, path);
    const bytes = statSync(path).size;
    return { fileName: basename(path), path, bytes, madeAt, why, benchName, trialCount };
  } catch (error) {
    if (error instanceof AppError || error instanceof BetterSqlite3.SqliteError) return null;
    throw error;
  } finally {
    file?.close();
  }
}
