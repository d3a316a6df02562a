import BetterSqlite3 from 'better-sqlite3';
import { basename } from 'node:path';
import { AppError } from '../../shared-lib/app-error.ts';
import type { RestorePreview } from '../../shared-lib/backup/backup-requests.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { newestVersion } from '../storage/migrate.ts';
import { allMigrations } from '../storage/migrations/all-migrations.ts';
import { translateStorageError } from '../storage/storage-errors.ts';
import { openSnapshot } from '../storage/open-read-only.ts';
import type { Work } from '../work/work-tools.ts';
import { verifyBackup, withBackup } from './verify-backup.ts';

export interface BackupChecking {
  readonly file: string;
  /** As a person knows it; an upload lies under another name. */
  readonly fileName: string;
  /** What it is held against. */
  readonly databasePath: string;
}

const compared = { trials: 'trial', calibrations: 'calibration', editions: 'edition' } as const;
type Compared = keyof typeof compared;

/**
 * Reads all of a backup and says what it holds beside what is here.
 *
 * Errors: those of `verifyBackup`; AppError 'database-too-new'.
 */
export const checkBackup: Work<BackupChecking, RestorePreview> = async (input, tools) => {
  tools.progress(0, 'Reading the backup.');
  const { seal, bytes, schemaVersion } = await verifyBackup(input.file, tools);
  const newestKnown = newestVersion(allMigrations);
  if (schemaVersion > newestKnown) {
    throw new AppError(
      'database-too-new',
      `The backup ${input.fileName} was written by a newer version of the program (form ${schemaVersion}; this one knows up to ${newestKnown}). Nothing was changed. Install the newer version, then restore it there.`,
      { schemaVersion, newestKnown },
    );
  }
  const here = openSnapshot(input.databasePath);
  try {
    return await withBackup(input.file, (backup) => {
      const onlyHere = countMissing(here, backup);
      const onlyInBackup = countMissing(backup, here);
      const newestTrialAt =
        backup.prepare<[], string | null>('SELECT max(started_at) FROM trial').pluck().get() ?? null;
      return Promise.resolve({
        backup: {
          fileName: basename(input.fileName),
          path: input.file,
          bytes,
          madeAt: seal.madeAt,
          why: seal.why,
          benchName: seal.benchName,
          trialCount: seal.trialCount,
        },
        checksum: seal.digest,
        newestTrialAt,
        onlyHere,
        onlyInBackup,
        sentences: sentencesOf(onlyHere, onlyInBackup),
      });
    });
  } catch (error) {
    throw error instanceof BetterSqlite3.SqliteError ? translateStorageError(error) : error;
  } finally {
    here.close();
  }
};

/** How many of `from` are not in `other`, by their identities. */
function countMissing(from: ReadableDatabase, other: ReadableDatabase): Record<Compared, number> {
  const missing = (table: string): number => {
    const known = new Set(identities(other, table));
    return identities(from, table).filter((id) => !known.has(id)).length;
  };
  return {
    trials: missing(compared.trials),
    calibrations: missing(compared.calibrations),
    editions: missing(compared.editions),
  };
}

/** A backup of an older form may lack a table. */
function identities(database: ReadableDatabase, table: string): string[] {
  const isThere = database
    .prepare<[string], number>(`SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = ?`)
    .pluck()
    .get(table);
  if (isThere === undefined) return [];
  return database.prepare<[], string>(`SELECT id FROM ${table}`).pluck().all();
}

function sentencesOf(onlyHere: Record<Compared, number>, onlyInBackup: Record<Compared, number>): string[] {
  const lost = inWords(onlyHere);
  const won = inWords(onlyInBackup);
  return [
    lost === null
      ? 'Every trial, calibration version and edition that is here is in the backup too.'
      : `Here and not in the backup: ${lost}.`,
    won === null
      ? 'It brings back no trial, calibration version or edition that is not here.'
      : `It brings back: ${won}.`,
    'Whatever else was changed since it was made, such as tools, prices, notes and decisions about trials, goes back to how it was then. What is here is kept in a backup of its own first, so nothing is lost.',
  ];
}

function inWords(counts: Record<Compared, number>): string | null {
  const words: readonly (readonly [Compared, string, string])[] = [
    ['trials', 'trial', 'trials'],
    ['calibrations', 'calibration version', 'calibration versions'],
    ['editions', 'edition', 'editions'],
  ];
  const parts = words.flatMap(([name, one, many]) =>
    counts[name] === 0 ? [] : [`${counts[name]} ${counts[name] === 1 ? one : many}`],
  );
  return parts.length === 0 ? null : parts.join(', ');
}
