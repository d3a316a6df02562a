import BetterSqlite3 from 'better-sqlite3';
import { closeSync, fsyncSync, mkdirSync, openSync, renameSync, rmSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Logger } from '../platform/logger.ts';
import { requireFolder } from './data-folder.ts';
import type { WritableDatabase } from './database.ts';
import { migrate, newestVersion, schemaVersionOf } from './migrate.ts';
import { allMigrations, type Migration } from './migrations/all-migrations.ts';
import { translateFolderError, translateStorageError } from './storage-errors.ts';
import { syncFolder } from './sync-folder.ts';

/** Marks a file as ours in its header: "PRFA". */
export const APPLICATION_ID = 0x50524641;
/** Long enough for a viewer's short read, short enough that recording does not stall. */
const BUSY_TIMEOUT_MS = 500;
/** `quick_check` reads every page and takes some 14 us per trial: up to here that is some tens of milliseconds. */
const WHOLE_CHECK_BYTES = 16 * 2 ** 20;

export interface OpenDatabaseOptions {
  readonly filePath: string;
  readonly backupFolder: string;
  readonly now: () => Date;
  readonly log: Pick<Logger, 'info' | 'warn'>;
  /** Other than the program's own only in tests. */
  readonly migrations?: readonly Migration[];
}

/**
 * Opens the database, makes it where there is none, and brings it to the newest schema after a backup.
 *
 * Every commit is on the disk when it returns (WAL with synchronous FULL).
 * Errors, each before anything is changed: 'data-folder-unusable', 'database-damaged', 'database-locked',
 * 'database-too-new', 'disk-full'; and 'migration-failed', after which the data is as before.
 */
export function openDatabase(options: OpenDatabaseOptions): WritableDatabase {
  const { filePath, migrations = allMigrations } = options;
  requireFolder(dirname(filePath));
  const found = inspectFiles(filePath);
  let database: BetterSqlite3.Database | null = null;
  try {
    database = new BetterSqlite3(filePath, { timeout: BUSY_TIMEOUT_MS });
    database.pragma('synchronous = FULL');
    database.pragma('foreign_keys = ON');
    const isNew = isEmpty(database);
    if (!isNew) {
      refuseForeignFile(database, filePath);
      refuseNewerSchema(database, filePath, newestVersion(migrations));
      checkIntegrity(database, found, options);
    }
    refuseLocked(database);
    switchToWal(database, dirname(filePath));
    if (isNew) database.pragma(`application_id = ${APPLICATION_ID}`);
    const isBehind = schemaVersionOf(database) < newestVersion(migrations);
    migrate(database, migrations, isBehind && !isNew ? backUp(database, options) : null);
    return database as WritableDatabase;
  } catch (error) {
    database?.close();
    throw translateStorageError(error);
  }
}

interface FoundFiles {
  readonly sizeBytes: number;
  /** A log that was left behind: the program did not end by itself. SQLite takes it in, whole commits only. */
  readonly isLogLeft: boolean;
}

function inspectFiles(filePath: string): FoundFiles {
  const sizeBytes = sizeOf(filePath);
  const isLogLeft = sizeOf(`${filePath}-wal`) > 0;
  if (sizeBytes === 0 && isLogLeft) {
    throw new AppError(
      'database-damaged',
      `The database file ${filePath} is missing or empty, but its log (-wal) is there with data in it. Nothing was touched. Put the file back beside its log, or move the log away and put back the newest backup.`,
      { path: filePath },
    );
  }
  return { sizeBytes, isLogLeft };
}

function sizeOf(path: string): number {
  return statSync(path, { throwIfNoEntry: false })?.size ?? 0;
}

function isEmpty(database: BetterSqlite3.Database): boolean {
  return database.prepare('SELECT 1 FROM sqlite_schema LIMIT 1').get() === undefined;
}

function refuseForeignFile(database: BetterSqlite3.Database, filePath: string): void {
  if (database.pragma('application_id', { simple: true }) === APPLICATION_ID) return;
  throw new AppError(
    'database-damaged',
    `${filePath} is a database, but not one that this program made. It was left as it is. Move it away, or choose another folder with --data.`,
    { path: filePath },
  );
}

function refuseNewerSchema(database: BetterSqlite3.Database, filePath: string, newestKnown: number): void {
  const schemaVersion = schemaVersionOf(database);
  if (schemaVersion <= newestKnown) return;
  throw new AppError(
    'database-too-new',
    `${filePath} was written by a newer version of the program (form ${schemaVersion}; this one knows up to ${newestKnown}). The data was not touched. Start the newer version, or choose another folder with --data.`,
    { path: filePath, schemaVersion, newestKnown },
  );
}

/**
 * A small file is checked whole at each start. A large one only after an unclean end, and then all but the samples:
 * reading gigabytes would hold up the bench, and each raw block has a checksum that is verified whenever it is read.
 */
function checkIntegrity(
  database: BetterSqlite3.Database,
  found: FoundFiles,
  { filePath, backupFolder, log }: OpenDatabaseOptions,
): void {
  const isSmall = found.sizeBytes <= WHOLE_CHECK_BYTES;
  if (!isSmall && !found.isLogLeft) return;
  const targets = isSmall ? [''] : smallTables(database).map((table) => `('${table}')`);
  if (found.isLogLeft)
    log.info('The program had not ended by itself; the database is checked.', { path: filePath });
  for (const target of targets) {
    const verdict = String(database.pragma(`quick_check${target}`, { simple: true }));
    if (verdict === 'ok') continue;
    throw new AppError(
      'database-damaged',
      `The database ${filePath} is damaged (${verdict}). Nothing was changed in it. Keep a copy of it together with the files that end in -wal and -shm, then put back the newest backup from ${backupFolder}, or start with an empty folder by --data.`,
      { path: filePath, verdict },
    );
  }
}

function smallTables(database: BetterSqlite3.Database): readonly string[] {
  return database
    .prepare<[], string>(`SELECT name FROM sqlite_schema WHERE type = 'table' AND name <> 'raw_block'`)
    .pluck()
    .all();
}

/** A lock or missing rights shall show now, not in the middle of the first trial. */
function refuseLocked(database: BetterSqlite3.Database): void {
  database.exec('BEGIN IMMEDIATE; ROLLBACK');
}

function switchToWal(database: BetterSqlite3.Database, folder: string): void {
  const mode = database.pragma('journal_mode = WAL', { simple: true });
  if (mode === 'wal') return;
  throw new AppError(
    'data-folder-unusable',
    `The disk under ${folder} cannot keep the database's log (a network drive, perhaps). Nothing was changed. Choose a folder on a local disk with --data.`,
    { path: folder },
  );
}

/** Returns the path of the copy. It gets its name only when it is whole and on the disk. */
function backUp(
  database: BetterSqlite3.Database,
  { filePath, backupFolder, now, log }: OpenDatabaseOptions,
): string {
  const version = String(schemaVersionOf(database)).padStart(4, '0');
  const time = now().toISOString().replaceAll(/[:.-]/g, '');
  const copyPath = join(backupFolder, `form-${version}-${time}.sqlite`);
  // One name for all attempts: what is left of one that was cut off goes with the next.
  const partialPath = join(backupFolder, 'unfinished.partial');
  log.info('The database is copied before its form changes.', { path: copyPath });
  try {
    mkdirSync(backupFolder, { recursive: true, mode: 0o700 });
    rmSync(partialPath, { force: true });
    database.prepare('VACUUM INTO ?').run(partialPath);
    syncFile(partialPath);
    renameSync(partialPath, copyPath);
    syncFolder(backupFolder);
    return copyPath;
  } catch (error) {
    log.warn('The copy could not be made, so the database stays as it is.', { path: filePath });
    throw translateFolderError(error, backupFolder);
  }
}

/** SQLite does not flush what VACUUM INTO writes. */
function syncFile(path: string): void {
  const file = openSync(path, 'r+');
  try {
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}
