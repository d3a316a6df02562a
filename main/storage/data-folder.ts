import { existsSync, mkdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { AppError } from '../../shared-lib/app-error.ts';
import { translateFolderError } from './storage-errors.ts';

/** Makes the folder where it is missing and proves by writing that it can be used: rights alone do not tell. */
export function prepareDataFolder(folder: string): void {
  const probe = join(folder, `.write-probe-${process.pid}`);
  try {
    makeFolder(folder);
    writeFileSync(probe, 'probe');
    rmSync(probe);
  } catch (error) {
    throw translateFolderError(error, folder);
  }
}

/** Level by level: Node's own recursion does not end where a system makes no folders, such as under /proc on Linux. */
function makeFolder(folder: string): void {
  if (existsSync(folder)) return;
  const parent = dirname(folder);
  if (parent !== folder) makeFolder(parent);
  mkdirSync(folder, { mode: 0o700 });
}

export function requireFolder(folder: string): void {
  if (statSync(folder, { throwIfNoEntry: false })?.isDirectory() === true) return;
  throw new AppError(
    'data-folder-unusable',
    `The data folder ${folder} is not there. If it lies on a disk that can be unplugged, connect that first; else choose another folder with --data. Nothing was changed.`,
    { path: folder },
  );
}
