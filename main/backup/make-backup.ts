import { rmSync } from 'node:fs';
import { basename } from 'node:path';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Backup } from '../../shared-lib/backup/backup-requests.ts';
import { thinOut } from '../../shared-lib/backup/thin-out.ts';
import type { ShareTools } from '../share-tools.ts';
import { localDay } from '../platform/local-day.ts';
import { ownBench } from '../storage/bench-repository.ts';
import { errnoOf } from '../storage/storage-errors.ts';
import type { JobOutcome, JobTools } from '../work/jobs.ts';
import { startWork } from '../work/start-work.ts';
import type { WorkInput, WorkName, WorkResult } from '../work/works.ts';
import { createBackupFolder, type BackupFolder, unfinishedOf } from './backup-folder.ts';

export type BackupTools = Pick<ShareTools, 'platform' | 'database' | 'databasePath' | 'settings' | 'emit'>;

/** A work as a part of a job: its progress is the job's, and the job's cancellation is its own. */
export async function workInJob<Name extends WorkName>(
  tools: Pick<ShareTools, 'platform'>,
  job: JobTools,
  name: Name,
  input: WorkInput<Name>,
): Promise<WorkResult<Name>> {
  const work = startWork(tools.platform, name, input, (fraction, sentence) => {
    job.progress(fraction, sentence);
  });
  job.onCancel(() => {
    work.cancel();
  });
  return work.done;
}

/** Makes a backup, puts it in the second place too, and thins out the daily ones. Errors: those of `writeBackup`. */
export async function makeBackup(
  tools: BackupTools,
  folder: BackupFolder,
  why: Backup['why'],
  job: JobTools,
): Promise<JobOutcome> {
  const { platform, database, databasePath, settings } = tools;
  const madeAt = platform.clock.now().toISOString();
  const targetFile = folder.newFile(madeAt, why);
  const backup = await leavingNothing(targetFile, () =>
    workInJob(tools, job, 'writeBackup', {
      databasePath,
      targetFile,
      madeAt,
      why,
      benchName: ownBench(database).name,
      softwareVersion: platform.softwareVersion,
    }),
  );
  const rule = settings.current().backup;
  const elsewhere = rule.alsoInFolder === null ? null : createBackupFolder(rule.alsoInFolder);
  const trouble = elsewhere === null ? null : await copyElsewhere(tools, elsewhere, backup, job);
  for (const { fileName } of thinOut(folder.list().backups, rule, (at) => localDay(new Date(at)))) {
    // The second folder may be that of other benches too, so there only what goes here is taken away.
    for (const place of elsewhere === null ? [folder] : [folder, elsewhere])
      thinOutOf(place, fileName, tools);
  }
  tools.emit('backupsChanged', {});
  const said = `Backed up ${backup.trialCount} trials as ${backup.fileName}, and read all of it back.`;
  return { sentence: trouble === null ? said : `${said} ${trouble}`, fileName: backup.fileName };
}

/** What went wrong there, in words: the backup itself is made all the same. */
async function copyElsewhere(
  tools: BackupTools,
  elsewhere: BackupFolder,
  backup: Backup,
  job: JobTools,
): Promise<string | null> {
  try {
    const targetFile = elsewhere.newFile(backup.madeAt, backup.why);
    await leavingNothing(targetFile, () =>
      workInJob(tools, job, 'copyBackup', { file: backup.path, targetFile }),
    );
    return null;
  } catch (error) {
    if (error instanceof AppError && error.code === 'cancelled') throw error;
    tools.platform.log.warn('a backup could not be put in the second folder', { cause: error });
    const reason =
      error instanceof AppError
        ? error.message
        : `the system said ${errnoOf(error) ?? 'no reason'}. See whether that disk is there and whole; the log says more.`;
    return `It is not in the second folder ${basename(elsewhere.path)}: ${reason}`;
  }
}

/** A thread that had to be ended could not tidy up after itself. */
async function leavingNothing<Result>(targetFile: string, work: () => Promise<Result>): Promise<Result> {
  try {
    return await work();
  } catch (error) {
    for (const left of unfinishedOf(targetFile)) rmSync(left, { force: true });
    throw error;
  }
}

/** One too many is no reason to call the backup that was made a failure. */
function thinOutOf(place: BackupFolder, fileName: string, { platform }: Pick<BackupTools, 'platform'>): void {
  try {
    place.remove(fileName);
  } catch (error) {
    if (error instanceof AppError && error.code === 'backup-not-found') return;
    platform.log.warn('an old backup could not be removed', { path: place.path, cause: error });
  }
}
