import { mkdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { AppError } from '../../shared-lib/app-error.ts';
import { translateFolderError } from './storage-errors.ts';

/** Makes the folder where it is missing and proves by writing that it can be used: rights alone do not tell. */
export function prepareDataFolder(folder: string): void {
  const probe = join(folder, `.write-probe-${process.pid}`);
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    writeFileSync(probe, 'probe');
    rmSync(probe);
  } catch (error) {
    throw translateFolderError(error, folder);
  }
}

export function requireFolder(folder: string): void {
  if (statSync(folder, { throwIfNoEntry: false })?.isDirectory() === true) return;
  throw new AppError(
    'data-folder-unusable',
    `The data folder ${folder} is not there. If it lies on a disk that can be unplugged, connect that first; else choose another folder with --data. Nothing was changed.`,
    { path: folder },
  );
}
