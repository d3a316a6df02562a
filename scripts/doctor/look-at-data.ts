import BetterSqlite3 from 'better-sqlite3';
import { accessSync, constants, statSync } from 'node:fs';
import { statfs } from 'node:fs/promises';
import { join } from 'node:path';
import { AppError } from '../../shared-lib/app-error.ts';
import { createBackupFolder } from '../../main/backup/backup-folder.ts';
import { readBlocks, verifyBackup } from '../../main/backup/verify-backup.ts';
import { LIVE_BYTES_PER_SAMPLE } from '../../main/bench/disk-watch.ts';
import type { ReadableDatabase } from '../../main/storage/database.ts';
import { newestVersion, schemaVersionOf } from '../../main/storage/migrate.ts';
import { allMigrations } from '../../main/storage/migrations/all-migrations.ts';
import { translateStorageError } from '../../main/storage/storage-errors.ts';
import { type Finding, good, look, looked, wrong } from './finding.ts';

/** Hours of recording that are worth a word. */
const FEW_HOURS = 8;
const FAST_RATE_HZ = 10_000;
const OLD_BACKUP_DAYS = 7;
const DAY_MS = 86_400_000;

const unhurried = { pause: () => Promise.resolve() };

/** The data folder: rights, space, who works on it, the database and its newest backup. Changes nothing of the data. */
export async function lookAtData(dataFolder: string, isDeep: boolean): Promise<Finding[]> {
  if (statSync(dataFolder, { throwIfNoEntry: false })?.isDirectory() !== true) {
    return [look('Data folder', `${dataFolder} is not there yet; the first start makes it.`)];
  }
  const databasePath = join(dataFolder, 'proofarm.db');
  const backupFolder = join(dataFolder, 'backups');
  const rights = (what: string): string => `See that your user may read ${what}, and that its disk is there.`;
  return [
    lookAtRights(dataFolder),
    ...(await looked('Disk', () => lookAtSpace(dataFolder), rights(dataFolder))),
    ...(await looked('In use', () => lookAtLock(dataFolder), rights(dataFolder))),
    ...(await looked('Database', () => lookAtDatabase(databasePath, isDeep), rights(databasePath))),
    ...(await looked('Backup', () => lookAtBackups(backupFolder), rights(backupFolder))),
  ];
}

function lookAtRights(dataFolder: string): Finding {
  try {
    accessSync(dataFolder, constants.R_OK | constants.W_OK);
    return good('Data folder', `${dataFolder} can be read and written.`);
  } catch {
    // Whatever the system says of it, the way out is the same.
    return wrong(
      'Data folder',
      `${dataFolder} cannot be written by your user. Give yourself rights there, or choose another folder with --data.`,
    );
  }
}

async function lookAtSpace(dataFolder: string): Promise<Finding> {
  const { bavail, bsize } = await statfs(dataFolder);
  const freeBytes = bavail * bsize;
  const hours = freeBytes / (FAST_RATE_HZ * LIVE_BYTES_PER_SAMPLE * 3600);
  const sentence = `${(freeBytes / 1e9).toFixed(1)} GB free: ${hours.toFixed(0)} h of recording at 10 000 Sa/s.`;
  return hours < FEW_HOURS
    ? look('Disk', `${sentence} Make space before a long day.`)
    : good('Disk', sentence);
}

/** A program that runs holds its lock for writing, so that it cannot even be read. */
function lookAtLock(dataFolder: string): Finding {
  const path = join(dataFolder, 'instance.db');
  if (statSync(path, { throwIfNoEntry: false }) === undefined)
    return good('In use', 'No program works on it.');
  let lock: BetterSqlite3.Database | null = null;
  try {
    lock = new BetterSqlite3(path, { readonly: true, timeout: 0 });
    lock.prepare('SELECT count(*) FROM sqlite_schema').get();
    return good('In use', 'No program works on it.');
  } catch (error) {
    const translated = translateStorageError(error);
    if (translated instanceof AppError && translated.code === 'database-locked') {
      return good('In use', 'The program is running on it.');
    }
    return look('In use', `${path} cannot be read. It holds no data: end the program and delete it.`);
  } finally {
    lock?.close();
  }
}

async function lookAtDatabase(path: string, isDeep: boolean): Promise<Finding[]> {
  if (statSync(path, { throwIfNoEntry: false }) === undefined) {
    return [look('Database', 'There is none yet; the first start makes it.')];
  }
  let database: BetterSqlite3.Database | null = null;
  try {
    database = new BetterSqlite3(path, { readonly: true, fileMustExist: true });
    const findings = [lookAtForm(database), lookAtStructure(database)];
    if (!isDeep) return findings;
    const count = await readBlocks(database as ReadableDatabase, unhurried);
    return [...findings, good('Samples', `All ${count} blocks hold by their checksums.`)];
  } catch (error) {
    const translated = translateStorageError(error);
    if (!(translated instanceof AppError)) throw error;
    return [wrong('Database', translated.message)];
  } finally {
    database?.close();
  }
}

function lookAtForm(database: BetterSqlite3.Database): Finding {
  const form = schemaVersionOf(database);
  const newest = newestVersion(allMigrations);
  if (form > newest) {
    return wrong('Form', `It has form ${form}; this program knows up to ${newest}. Start the newer version.`);
  }
  const words = form < newest ? `Form ${form}; the next start brings it to ${newest}.` : `Form ${form}.`;
  const trialCount = database.prepare<[], number>('SELECT count(*) FROM trial').pluck().get() ?? 0;
  return good('Form', `${words} ${trialCount} trials.`);
}

function lookAtStructure(database: BetterSqlite3.Database): Finding {
  // The first of many lines says enough.
  const verdict = String(database.pragma('quick_check(1)', { simple: true })).replaceAll(/\s+/g, ' ');
  return verdict === 'ok'
    ? good('Database', 'Its structure is sound.')
    : wrong(
        'Database',
        `It is damaged (${verdict}). End the program, keep a copy of the file with its -wal and -shm, and restore the newest backup. Where none holds, "npx proofarm salvage" copies what can still be read.`,
      );
}

async function lookAtBackups(folder: string): Promise<Finding> {
  const { backups, unreadable } = createBackupFolder(folder).list();
  const newest = backups[0];
  if (newest === undefined) return look('Backup', 'There is none. Make one in Setup, Backups.');
  try {
    await verifyBackup(newest.path, unhurried);
  } catch (error) {
    if (!(error instanceof AppError)) throw error;
    return wrong('Backup', error.message);
  }
  const ageDays = (Date.now() - Date.parse(newest.madeAt)) / DAY_MS;
  const sentence = `The newest is of ${newest.madeAt}, ${newest.trialCount} trials; all of it was read.`;
  if (unreadable.length > 0) {
    return look('Backup', `${sentence} Cannot be read as a backup: ${unreadable.join(', ')}.`);
  }
  return ageDays > OLD_BACKUP_DAYS
    ? look('Backup', `${sentence} It is ${ageDays.toFixed(0)} days old.`)
    : good('Backup', sentence);
}
