import BetterSqlite3 from 'better-sqlite3';
import { closeSync, copyFileSync, fsyncSync, openSync, rmSync } from 'node:fs';
import { dirname } from 'node:path';
import { AppError } from '../../shared-lib/app-error.ts';
import { translateFolderError, translateStorageError } from '../storage/storage-errors.ts';
import type { Work } from '../work/work-tools.ts';
import { verifyBackup } from './verify-backup.ts';

export interface RestorePreparation {
  readonly file: string;
  /** Of the backup that was looked at. */
  readonly checksum: string;
  /** Where the database to come is put; it is on the disk and whole when this returns. */
  readonly targetFile: string;
}

/**
 * Makes the database that takes the place of the one in use out of a backup, which stays as it is.
 *
 * Errors: those of `verifyBackup`; AppError 'invalid-state' where it is another backup than the one that was looked at;
 * 'disk-full', 'data-folder-unusable'.
 */
export const prepareRestore: Work<RestorePreparation, { readonly madeAt: string }> = async (input, tools) => {
  const { file, checksum, targetFile } = input;
  try {
    rmSync(targetFile, { force: true });
    copyFileSync(file, targetFile);
    tools.progress(0.3, 'Reading the copy.');
    const { seal } = await verifyBackup(targetFile, tools);
    if (seal.digest !== checksum) {
      throw new AppError(
        'invalid-state',
        'The backup is another one than the one you looked at. Nothing was changed. Look at it again, then restore it.',
      );
    }
    unseal(targetFile);
    sync(targetFile);
    return { madeAt: seal.madeAt };
  } catch (error) {
    rmSync(targetFile, { force: true });
    throw translateFolderError(translateStorageError(error), dirname(targetFile));
  }
};

function unseal(path: string): void {
  const database = new BetterSqlite3(path, { fileMustExist: true });
  try {
    database.exec('DROP TABLE backup_seal');
  } finally {
    database.close();
  }
}

function sync(path: string): void {
  const file = openSync(path, 'r+');
  try {
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}
