import BetterSqlite3 from 'better-sqlite3';
import { rmSync, statSync } from 'node:fs';
import { basename } from 'node:path';
import type { Backup } from '../../shared-lib/backup/backup-requests.ts';
import { translateStorageError } from '../storage/storage-errors.ts';
import { finishTarget } from '../work/finish-target.ts';
import type { Work, WorkTools } from '../work/work-tools.ts';
import { digestFile, insertSeal, type Seal, writeDigest } from './backup-seal.ts';
import { verifyBackup } from './verify-backup.ts';

/** Longer than main or the recording writer ever hold the database. */
const BUSY_TIMEOUT_MS = 5000;

export interface BackupWork {
  readonly databasePath: string;
  readonly targetFile: string;
  readonly madeAt: string;
  readonly why: Backup['why'];
  readonly benchName: string;
  readonly softwareVersion: string;
}

/**
 * Copies the database as it stands at one instant while it is written to, seals the copy and reads all of it back.
 *
 * Errors: AppErrors of the disk and of the database; 'backup-damaged' where what was read back is not what was written.
 */
export const writeBackup: Work<BackupWork, Backup> = (input, tools) =>
  finishTarget(input.targetFile, async (part) => {
    rmSync(part, { force: true });
    tools.progress(0, 'Copying the database.');
    copyDatabase(input.databasePath, part);
    await tools.pause();
    tools.progress(0.4, 'Sealing the copy.');
    const seal = await sealCopy(part, input, tools);
    tools.progress(0.6, 'Reading the copy back.');
    await verifyBackup(part, tools, 'ourselves');
    return {
      fileName: basename(input.targetFile),
      path: input.targetFile,
      bytes: statSync(part).size,
      madeAt: seal.madeAt,
      why: seal.why,
      benchName: seal.benchName,
      trialCount: seal.trialCount,
    };
  });

/** One read transaction sees one state, however long it takes; the writers go on into the log meanwhile. */
function copyDatabase(databasePath: string, target: string): void {
  let database: BetterSqlite3.Database | null = null;
  try {
    database = new BetterSqlite3(databasePath, {
      readonly: true,
      fileMustExist: true,
      timeout: BUSY_TIMEOUT_MS,
    });
    database.prepare('VACUUM INTO ?').run(target);
  } catch (error) {
    throw translateStorageError(error);
  } finally {
    database?.close();
  }
}

async function sealCopy(path: string, input: BackupWork, tools: WorkTools): Promise<Seal> {
  const { madeAt, why, benchName, softwareVersion } = input;
  let copy: BetterSqlite3.Database | null = null;
  try {
    copy = new BetterSqlite3(path, { fileMustExist: true });
    const trialCount = Number(copy.prepare<[], number>('SELECT count(*) FROM trial').pluck().get());
    const seal = { madeAt, why, benchName, softwareVersion, trialCount };
    const marker = insertSeal(copy, seal);
    copy.close();
    const { digest, offset } = await digestFile(path, marker, () => tools.pause());
    await writeDigest(path, offset, digest);
    return seal;
  } catch (error) {
    throw translateStorageError(error);
  } finally {
    copy?.close();
  }
}
