import { createHash, randomBytes } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { open } from 'node:fs/promises';
import type BetterSqlite3 from 'better-sqlite3';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Backup } from '../../shared-lib/backup/backup-requests.ts';

/**
 * A backup is a plain SQLite file that any tool opens, and carries its own checksum: one row of `backup_seal` says what it is, and holds
 * the SHA-256 of the whole file as it is with the digest's own 64 characters set to zeros.
 */
export interface Seal {
  readonly madeAt: string;
  readonly why: Backup['why'];
  readonly benchName: string;
  readonly trialCount: number;
  readonly softwareVersion: string;
}

const NO_DIGEST = '0'.repeat(64);
const sealTable = `
CREATE TABLE backup_seal (
  -- One row. The checksum is of this file with the 64 digits after the last colon set to zeros.
  checksum TEXT NOT NULL,
  made_at TEXT NOT NULL,
  why TEXT NOT NULL,
  bench_name TEXT NOT NULL,
  trial_count INTEGER NOT NULL,
  software_version TEXT NOT NULL
) STRICT;`;

/** Puts the row in, its digest still zeros; `digestFile` and `writeDigest` follow when the file is closed. */
export function insertSeal(copy: BetterSqlite3.Database, seal: Seal): string {
  const marker = `sha256:${randomBytes(16).toString('hex')}:`;
  copy.exec(sealTable);
  copy
    .prepare('INSERT INTO backup_seal VALUES (?, ?, ?, ?, ?, ?)')
    .run(marker + NO_DIGEST, seal.madeAt, seal.why, seal.benchName, seal.trialCount, seal.softwareVersion);
  return marker;
}

export interface ReadSeal extends Seal {
  readonly marker: string;
  readonly digest: string;
}

/** Errors: AppError 'backup-damaged' where there is no seal that can be read. */
export function readSeal(copy: BetterSqlite3.Database, path: string): ReadSeal {
  const isThere =
    copy.prepare(`SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = 'backup_seal'`).get() !==
    undefined;
  const row = isThere
    ? copy
        .prepare<[], Omit<Seal, 'why'> & { checksum: string; why: string }>(
          `SELECT checksum, made_at AS madeAt, why, bench_name AS benchName, trial_count AS trialCount, software_version AS softwareVersion FROM backup_seal`,
        )
        .get()
    : undefined;
  const parts = /^(sha256:[0-9a-f]{32}:)([0-9a-f]{64})$/.exec(row?.checksum ?? '');
  const marker = parts?.[1];
  const digest = parts?.[2];
  if (!row || marker === undefined || digest === undefined || !isReason(row.why)) {
    throw new AppError(
      'backup-damaged',
      `${path} has no seal that can be read: it is no backup of this program, or it is damaged. It was left as it is. Choose another backup.`,
      { path },
    );
  }
  const { madeAt, why, benchName, trialCount, softwareVersion } = row;
  return { madeAt, why, benchName, trialCount, softwareVersion, marker, digest };
}

function isReason(why: string): why is Backup['why'] {
  return ['daily', 'asked', 'beforeRestore'].includes(why);
}

/** Where the digest stands in the file; null: nowhere. */
async function findDigest(path: string, marker: string): Promise<number | null> {
  const sought = Buffer.from(marker, 'latin1');
  let carried = Buffer.alloc(0);
  let start = 0;
  for await (const piece of createReadStream(path, { highWaterMark: 1 << 20 }) as AsyncIterable<Buffer>) {
    const window = Buffer.concat([carried, piece]);
    const found = window.indexOf(sought);
    if (found >= 0) return start + found + sought.length;
    carried = window.subarray(Math.max(0, window.length - sought.length + 1));
    start += window.length - carried.length;
  }
  return null;
}

/**
 * SHA-256 of the file with its digest set to zeros. `pause` is awaited after every piece.
 *
 * Errors: AppError 'backup-damaged' where the marker is not in the file.
 */
export async function digestFile(
  path: string,
  marker: string,
  pause: () => Promise<void>,
): Promise<{ readonly digest: string; readonly offset: number }> {
  const offset = await findDigest(path, marker);
  if (offset === null) {
    throw new AppError(
      'backup-damaged',
      `The seal of ${path} is not where it was written. Choose another backup.`,
      {
        path,
      },
    );
  }
  const hash = createHash('sha256');
  let position = 0;
  for await (const piece of createReadStream(path, { highWaterMark: 1 << 20 }) as AsyncIterable<Buffer>) {
    const from = Math.max(0, offset - position);
    const to = Math.min(piece.length, offset + NO_DIGEST.length - position);
    if (from < to) piece.fill('0', from, to, 'latin1');
    hash.update(piece);
    position += piece.length;
    await pause();
  }
  return { digest: hash.digest('hex'), offset };
}

/** Writes the digest into its place, on the disk when it returns. */
export async function writeDigest(path: string, offset: number, digest: string): Promise<void> {
  const file = await open(path, 'r+');
  try {
    await file.write(digest, offset, 'latin1');
    await file.sync();
  } finally {
    await file.close();
  }
}
