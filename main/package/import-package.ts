import BetterSqlite3 from 'better-sqlite3';
import { AppError } from '../../shared-lib/app-error.ts';
import { tableNamed } from '../../shared-lib/package/package-tables.ts';
import type { WritableDatabase } from '../storage/database.ts';
import { translateStorageError } from '../storage/storage-errors.ts';
import type { Work, WorkTools } from '../work/work-tools.ts';
import {
  comparePackage,
  compareSamples,
  heldBackWords,
  type PackageComparison,
  withoutDecisionWords,
} from './compare-package.ts';
import { planOf } from './compare-rows.ts';
import { insertRows } from './insert-rows.ts';
import { stagePackage, type StagedPackage } from './stage-package.ts';
import { takeOverChanges } from './take-over-changes.ts';

export interface PackageImport {
  readonly databasePath: string;
  readonly file: string;
  readonly fileName: string;
  /** Of the package that was looked at before: another one is refused. */
  readonly fingerprint: string;
  readonly importId: string;
  readonly at: string;
  readonly operator: string;
}

export interface PackageTaken {
  readonly sentence: string;
  /** Trials that were here and have changed, and one of those that are new. */
  readonly changedTrialIds: readonly string[];
}

/** The recording's writer may just be packing a trial. */
const BUSY_TIMEOUT_MS = 30_000;

/**
 * Takes a package in, all of it or nothing: it is read, checked and packed beside the database first, and then put in within one
 * transaction.
 *
 * Errors: AppError 'package-invalid'; 'package-conflict' where something here contradicts it; 'database-locked', 'disk-full', 'cancelled'.
 */
export const importPackage: Work<PackageImport, PackageTaken> = async (work, tools) => {
  const { databasePath, file } = work;
  const here = openForWriting(databasePath);
  try {
    const isKnown = here.prepare<[string], number>('SELECT 1 FROM trial WHERE id = ?').pluck();
    const read = await stagePackage(
      { file, databasePath, keepsSamplesOf: (trialId) => isKnown.get(trialId) === undefined },
      tools,
    );
    try {
      if (read.fingerprint !== work.fingerprint) throw anotherPackage();
      return await takeIn(read, here, work, tools);
    } finally {
      read.remove();
    }
  } finally {
    here.close();
  }
};

function openForWriting(databasePath: string): WritableDatabase {
  try {
    const database = new BetterSqlite3(databasePath, { fileMustExist: true, timeout: BUSY_TIMEOUT_MS });
    database.pragma('synchronous = FULL');
    database.pragma('foreign_keys = ON');
    return database as WritableDatabase;
  } catch (error) {
    throw translateStorageError(error);
  }
}

async function takeIn(
  read: StagedPackage,
  here: WritableDatabase,
  work: PackageImport,
  tools: WorkTools,
): Promise<PackageTaken> {
  // Samples are never changed, so they are compared before anybody has to wait.
  const before = comparePackage(read, here);
  refuseConflicts([...before.conflicts, ...(await compareSamples(read, here, before, tools))]);
  tools.progress(1, 'Putting it in.');
  await tools.pause();
  try {
    here.exec('BEGIN IMMEDIATE');
    const compared = comparePackage(read, here);
    refuseConflicts(compared.conflicts);
    insertImport(here, read, work);
    await insertRows({
      staging: read.staging,
      here,
      compared,
      at: work.at,
      importId: work.importId,
      benchId: read.manifest.bench.id,
      pause: () => tools.pause(),
    });
    takeOverChanges(read, here, compared);
    here.exec('COMMIT');
    return describe(compared);
  } catch (error) {
    if (here.inTransaction) here.exec('ROLLBACK');
    throw translateStorageError(error);
  }
}

function refuseConflicts(conflicts: readonly string[]): void {
  const [first] = conflicts;
  if (first === undefined) return;
  const more = conflicts.length === 1 ? '' : ` And ${conflicts.length - 1} more.`;
  throw new AppError(
    'package-conflict',
    `Something in the package contradicts what is here under the same identity: ${first}${more} Nothing was taken in, and nothing here was changed. Ask its maker which of them is right.`,
    { conflicts: conflicts.length },
  );
}

function anotherPackage(): AppError {
  return new AppError(
    'package-invalid',
    'The file is another one than the package that was looked at before. Nothing was taken in. Look at it again first.',
  );
}

function insertImport(
  here: WritableDatabase,
  { staging, manifest, fingerprint }: StagedPackage,
  { importId, at, operator, fileName }: PackageImport,
): void {
  // Its names for benches that are known here are a matter of taste; those of here stay.
  const addBench = here.prepare('INSERT OR IGNORE INTO bench (id, name, is_own) VALUES (?, ?, 0)');
  const benches = staging.prepare<[], { id: string; name: string }>('SELECT id, name FROM bench').all();
  for (const { id, name } of [...benches, manifest.bench]) addBench.run(id, name);
  here
    .prepare(
      `INSERT INTO import (id, at, operator, kind, file_name, fingerprint, bench_id, details_json)
       VALUES (?, ?, ?, 'package', ?, ?, ?, ?)`,
    )
    .run(importId, at, operator, fileName, fingerprint, manifest.bench.id, JSON.stringify(manifest));
}

function describe(compared: PackageComparison): PackageTaken {
  const extended = [...compared.tables]
    .filter(([table]) => tableNamed(table).belongsTo?.table === 'trial')
    .flatMap(([, plan]) => [...plan.extended]);
  const [firstNew] = planOf(compared, 'trial').newKeys;
  return {
    sentence: sentenceOf(compared),
    changedTrialIds: [...new Set([...extended, ...(firstNew === undefined ? [] : [firstNew])])],
  };
}

/** What comes with new trials is not told one by one. */
function sentenceOf(compared: PackageComparison): string {
  const { newKeys, knownKeys } = planOf(compared, 'trial');
  const { newEntries, added, leftOutCount, heldBackCount, withoutDecisionCount } = compared;
  const taken = newKeys.size > 0 ? newEntries.slice(0, 1) : newEntries;
  const known =
    knownKeys.size === 1
      ? '1 trial of the package was here already.'
      : `${knownKeys.size} trials of the package were here already.`;
  const sentences = [
    ...(taken.length > 0 ? [`${taken.join(', ')} taken in.`] : []),
    ...(knownKeys.size > 0 ? [known] : []),
    ...(added.length > 0 ? [`Added to what was here: ${added.join(', ')}.`] : []),
    ...(leftOutCount > 0 ? [leftOutWords(leftOutCount)] : []),
    ...(heldBackCount > 0 ? [heldBackWords(heldBackCount)] : []),
    ...(withoutDecisionCount > 0 ? [withoutDecisionWords(withoutDecisionCount)] : []),
  ];
  return taken.length + added.length > 0 ? sentences.join(' ') : ['Nothing new.', ...sentences].join(' ');
}

function leftOutWords(count: number): string {
  return `What it says besides about ${count} ${count === 1 ? 'entry' : 'entries'} that ${count === 1 ? 'was' : 'were'} here was not taken in.`;
}
