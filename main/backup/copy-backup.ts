import { closeSync, copyFileSync, fsyncSync, openSync } from 'node:fs';
import { finishTarget } from '../work/finish-target.ts';
import type { Work } from '../work/work-tools.ts';
import { verifyBackup } from './verify-backup.ts';

export interface BackupCopying {
  readonly file: string;
  readonly targetFile: string;
}

/** Puts a backup in a second place too, and reads it there. Errors: as `writeBackup`. */
export const copyBackup: Work<BackupCopying, { readonly path: string }> = ({ file, targetFile }, tools) =>
  finishTarget(targetFile, async (part) => {
    copyFileSync(file, part);
    const copy = openSync(part, 'r+');
    try {
      fsyncSync(copy);
    } finally {
      closeSync(copy);
    }
    await verifyBackup(part, tools, 'ourselves');
    return { path: targetFile };
  });
