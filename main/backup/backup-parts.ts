import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { AppError } from '../../shared-lib/app-error.ts';
import type { backupRequests } from '../../shared-lib/backup/backup-requests.ts';
import type { Job } from '../../shared-lib/publishing/publishing-model.ts';
import type { Uploads } from '../exchange/uploads.ts';
import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';
import { ownBench } from '../storage/bench-repository.ts';
import { startWork } from '../work/start-work.ts';
import { createBackupFolder } from './backup-folder.ts';
import { createDailyBackup } from './daily-backup.ts';
import { makeBackup, workInJob } from './make-backup.ts';
import { putInPlace } from './put-in-place.ts';

/** Copies of the data, and the way back. */
export function createBackupParts(
  tools: ShareTools,
  uploads: Uploads,
): {
  readonly handlers: Pick<RequestHandlers, keyof typeof backupRequests>;
  close(): void;
} {
  const { platform, databasePath, jobs } = tools;
  const folder = createBackupFolder(join(platform.dataFolder, 'backups'));
  const preparedFile = `${databasePath}.restored`;
  // Of a restore that was cut off before anything was replaced.
  rmSync(preparedFile, { force: true });
  try {
    folder.sweep();
  } catch (error) {
    platform.log.warn('what was left of an unfinished backup could not be removed', { cause: error });
  }
  const daily = createDailyBackup(tools, folder);
  /** Rows that this thread, which does what windows ask for, has written since the start; the bench is held meanwhile. */
  const changesSoFar = (): number =>
    Number(tools.database.prepare<[], number>('SELECT total_changes()').pluck().get());

  return {
    handlers: {
      listBackups() {
        const { backups, unreadable } = folder.list();
        const strange =
          unreadable.length === 0 ? null : `Cannot be read as a backup: ${unreadable.join(', ')}.`;
        return { folder: folder.path, backups: [...backups], problem: daily.problem() ?? strange };
      },
      makeBackup() {
        const { jobId } = jobs.start('Backup', (job) => makeBackup(tools, folder, 'asked', job));
        return { jobId };
      },
      async verifyBackup({ fileName }) {
        const file = folder.fileOf(fileName);
        const { backup } = await startWork(platform, 'checkBackup', { file, fileName, databasePath }).done;
        return {
          sentence: `All ${backup.trialCount} trials of it were read: its checksum, its structure and every block of samples hold.`,
        };
      },
      previewRestore({ source }) {
        const { path, fileName } = uploads.fileOf(source);
        return startWork(platform, 'checkBackup', { file: path, fileName, databasePath }).done;
      },
      async restoreBackup({ source, checksum }) {
        const { path, fileName } = uploads.fileOf(source);
        // Nothing is recorded into data that are about to be put aside.
        const letGo = tools.holdBench('Restoring a backup');
        try {
          let keptAs = '';
          let changesKept = 0;
          const { jobId, ended } = jobs.start(`Restore ${fileName}`, async (job) => {
            await workInJob(tools, job, 'prepareRestore', { file: path, checksum, targetFile: preparedFile });
            // In a new folder this makes the bench, which the copy names; it is no change that would be lost.
            ownBench(tools.database);
            changesKept = changesSoFar();
            const kept = await makeBackup(tools, folder, 'beforeRestore', job);
            keptAs = kept.fileName ?? '';
            return { sentence: `What was here is kept as ${keptAs}.`, fileName: kept.fileName };
          });
          await ended;
          refuseUnlessDone(jobs.list().find((job) => job.jobId === jobId));
          if (changesSoFar() !== changesKept) {
            throw new AppError(
              'invalid-state',
              'Something was stored while what is here was being kept, and would have been lost, so nothing was replaced. Close other windows of the program, then restore again.',
            );
          }
          platform.log.info('other data are put in place', { path });
          await platform.restart(() => {
            putInPlace(preparedFile, databasePath);
          });
          return { keptAs };
        } finally {
          rmSync(preparedFile, { force: true });
          letGo();
        }
      },
    },
    close() {
      daily.close();
    },
  };
}

function refuseUnlessDone(job: Job | undefined): void {
  if (job?.state === 'done') return;
  const { code, message } = job?.failure ?? {
    code: 'cancelled',
    message: 'It was cancelled; nothing was changed.',
  };
  throw new AppError(code, message);
}
