import BetterSqlite3 from 'better-sqlite3';
import { statSync } from 'node:fs';
import { AppError } from '../../shared-lib/app-error.ts';
import { decodeRun, type RawBlockColumns } from '../storage/block-codec.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { schemaVersionOf } from '../storage/migrate.ts';
import type { WorkTools } from '../work/work-tools.ts';
import { digestFile, readSeal, type ReadSeal } from './backup-seal.ts';
import { strangeForm } from './check-form.ts';

/** Blocks that are read before a cancellation is looked for. */
const BLOCKS_AT_A_TIME = 50;

export interface VerifiedBackup {
  readonly seal: ReadSeal;
  readonly bytes: number;
  readonly schemaVersion: number;
}

/**
 * Reads all of a backup: its checksum, its structure, and every block of samples by its own checksum. Of 'anybody' it may come from outside, and
 * must have the form that the program gives a database; a copy of what is here has whatever form that has.
 *
 * Errors: AppError 'backup-not-found'; 'backup-damaged', naming what does not hold; 'cancelled'.
 */
export async function verifyBackup(
  path: string,
  tools: Pick<WorkTools, 'pause'>,
  maker: 'anybody' | 'ourselves' = 'anybody',
): Promise<VerifiedBackup> {
  const bytes = statSync(path, { throwIfNoEntry: false })?.size;
  if (bytes === undefined) {
    throw new AppError('backup-not-found', `There is no backup ${path} any more. Choose another one.`, {
      path,
    });
  }
  return withBackup(path, async (backup) => {
    const seal = readSeal(backup, path);
    const { digest } = await digestFile(path, seal.marker, () => tools.pause());
    if (digest !== seal.digest) throw damaged(path, 'its checksum does not fit its content');
    const strange = maker === 'anybody' ? strangeForm(backup) : null;
    if (strange !== null) throw damaged(path, strange);
    const verdict = String(backup.pragma('quick_check', { simple: true }));
    if (verdict !== 'ok') throw damaged(path, verdict);
    await readBlocks(backup, tools);
    return { seal, bytes, schemaVersion: schemaVersionOf(backup) };
  });
}

/** Opens a backup for reading; what SQLite cannot read in it is damage. */
export async function withBackup<Result>(
  path: string,
  work: (backup: ReadableDatabase) => Promise<Result>,
): Promise<Result> {
  let backup: BetterSqlite3.Database | null = null;
  try {
    backup = new BetterSqlite3(path, { readonly: true, fileMustExist: true });
    return await work(backup as ReadableDatabase);
  } catch (error) {
    if (error instanceof BetterSqlite3.SqliteError) throw damaged(path, error.message, error);
    throw error;
  } finally {
    backup?.close();
  }
}

/** Every block of samples against its own checksum; returns how many there are. Errors: AppError 'block-corrupt'. */
export async function readBlocks(backup: ReadableDatabase, tools: Pick<WorkTools, 'pause'>): Promise<number> {
  const blocks = backup.prepare<[], RawBlockColumns & { trial_id: string }>(
    `SELECT trial_id, first_slot, slot_count, lost_slot_count, codec, gaps, marks, crc32, payload FROM raw_block`,
  );
  let read = 0;
  for (const block of blocks.iterate()) {
    decodeRun(block, block.trial_id);
    read += 1;
    if (read % BLOCKS_AT_A_TIME === 0) await tools.pause();
  }
  return read;
}

function damaged(path: string, what: string, cause?: unknown): AppError {
  return new AppError(
    'backup-damaged',
    `The backup ${path} is damaged or not ours: ${what}. It was left as it is, and nothing else was touched. Choose another backup.`,
    { path },
    cause,
  );
}
