import { closeSync, fsyncSync, openSync } from 'node:fs';
import { errnoOf } from './storage-errors.ts';

/** Until its folder is flushed, a file that was made or renamed may be gone after a power cut, whole as it is. */
export function syncFolder(folder: string): void {
  // Windows cannot open a folder, and flushes a rename by itself.
  if (process.platform === 'win32') return;
  const handle = openSync(folder, 'r');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

/** For a folder that a person has chosen: a network drive may not know how, or its rights may not let it be read. */
export function syncFolderIfPossible(folder: string): void {
  try {
    syncFolder(folder);
  } catch (error) {
    if (!['EINVAL', 'ENOTSUP', 'EACCES', 'EPERM'].includes(errnoOf(error) ?? '')) throw error;
  }
}
