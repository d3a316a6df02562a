import BetterSqlite3 from 'better-sqlite3';
import { readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { AppError } from '../../shared-lib/app-error.ts';
import { prepareDataFolder } from './data-folder.ts';
import { errnoOf, translateFolderError, translateStorageError } from './storage-errors.ts';

export interface HeldInstanceLock {
  /** Says where this program answers, for a second start on the same folder to find. */
  publish(url: string): void;
  release(): void;
}

export interface RunningInstance {
  readonly url: string;
  readonly pid: number;
  readonly startedAt: string;
}

/** `runningAt` null: another program holds the folder and has not said (yet) where it answers. */
export type InstanceLock = HeldInstanceLock | { readonly runningAt: RunningInstance | null };

/** Keeps each lock from being collected as garbage, which would free it under a program that goes on running. */
const held = new Set<BetterSqlite3.Database>();

/** A program that is ending lets go within this time. */
const BUSY_TIMEOUT_MS = 300;

/**
 * Makes sure that one program at a time works on a data folder; makes the folder where it is missing.
 *
 * The lock is SQLite's exclusive lock on a file of its own, held as long as the program lives: the system frees it when
 * the program dies, so that no stale lock is ever left.
 * Errors: 'data-folder-unusable', 'disk-full'.
 */
export function acquireInstanceLock(folder: string, now: () => Date = () => new Date()): InstanceLock {
  prepareDataFolder(folder);
  const infoPath = join(folder, 'instance.json');
  const lock = holdExclusively(join(folder, 'instance.db'));
  if (lock === null) return { runningAt: readRunningInstance(infoPath) };
  // What a program that died has left would send a second start to a dead address.
  rmSync(infoPath, { force: true });
  return {
    publish(url) {
      const info: RunningInstance = { url, pid: process.pid, startedAt: now().toISOString() };
      const partialPath = `${infoPath}.partial`;
      try {
        rmSync(partialPath, { force: true });
        // The address carries the token: for this user's eyes only.
        writeFileSync(partialPath, JSON.stringify(info), { mode: 0o600, flag: 'wx' });
        renameSync(partialPath, infoPath);
      } catch (error) {
        throw translateFolderError(error, folder);
      }
    },
    release() {
      rmSync(infoPath, { force: true });
      lock.close();
      held.delete(lock);
    },
  };
}

function holdExclusively(path: string): BetterSqlite3.Database | null {
  let database: BetterSqlite3.Database | null = null;
  try {
    database = new BetterSqlite3(path, { timeout: BUSY_TIMEOUT_MS });
    database.exec('BEGIN EXCLUSIVE');
    held.add(database);
    return database;
  } catch (error) {
    database?.close();
    const translated = translateStorageError(error);
    if (translated instanceof AppError && translated.code === 'database-locked') return null;
    if (translated instanceof AppError && translated.code === 'database-damaged') {
      throw new AppError(
        'data-folder-unusable',
        `${path}, which only keeps two programs off one folder, is damaged. It holds no data: delete it and start again.`,
        { path },
        error,
      );
    }
    throw translated;
  }
}

function readRunningInstance(infoPath: string): RunningInstance | null {
  try {
    const info: unknown = JSON.parse(readFileSync(infoPath, 'utf8'));
    return isRunningInstance(info) ? info : null;
  } catch (error) {
    // Between taking the lock and saying where it answers, the other program has no such file.
    if (errnoOf(error) === 'ENOENT' || error instanceof SyntaxError) return null;
    throw error;
  }
}

function isRunningInstance(info: unknown): info is RunningInstance {
  return (
    typeof info === 'object' &&
    info !== null &&
    'url' in info &&
    typeof info.url === 'string' &&
    'pid' in info &&
    typeof info.pid === 'number' &&
    'startedAt' in info &&
    typeof info.startedAt === 'string'
  );
}
