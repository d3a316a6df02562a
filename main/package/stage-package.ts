import { AppError } from '../../shared-lib/app-error.ts';
import {
  arrivalsFile,
  countsFile,
  MANIFEST_FILE,
  packageTables,
  photoFile,
  tableFile,
} from '../../shared-lib/package/package-tables.ts';
import type { WritableDatabase } from '../storage/database.ts';
import { refreshListing } from '../storage/trial-listing.ts';
import { getTrial } from '../storage/trial-repository.ts';
import type { WorkTools } from '../work/work-tools.ts';
import { openPackageFile, readListed } from './package-file.ts';
import { invalidPackage } from './package-problem.ts';
import { readManifest, type ReadManifest } from './read-manifest.ts';
import { stageSamples } from './stage-samples.ts';
import { type Reading, stageTables } from './stage-tables.ts';
import { createStaging, type Staging } from './staging.ts';

/** A package that was read to its end and found whole, as a database of its own. */
export interface StagedPackage extends ReadManifest {
  readonly staging: WritableDatabase;
  remove(): void;
}

export interface StagingOptions {
  readonly file: string;
  /** Ours, beside which it is staged. */
  readonly databasePath: string;
  /** Of which trials the samples are wanted; those of the others are only looked through. */
  keepsSamplesOf(trialId: string): boolean;
}

/**
 * Reads all of a package: every file against its SHA-256, every line against the checks and references of the database, every trial as
 * the program will read it.
 *
 * Errors: AppError 'package-invalid' naming file and line; 'disk-full'; 'cancelled'. Nothing is left of it then.
 */
export async function stagePackage(options: StagingOptions, tools: WorkTools): Promise<StagedPackage> {
  const file = await openPackageFile(options.file);
  let staging: Staging | null = null;
  try {
    const read = await readManifest(file);
    staging = createStaging(options.databasePath);
    const { database } = staging;
    let done = 0;
    let sincePause = 0;
    const reading: Reading = {
      file,
      files: read.files,
      staging: database,
      async onRead(bytes) {
        done += bytes;
        sincePause += bytes;
        if (sincePause < BYTES_BETWEEN_PAUSES) return;
        sincePause = 0;
        tools.progress(done / Math.max(1, file.allBytes), 'Reading the package and checking every file.');
        await tools.pause();
      },
    };
    await stageTables(reading);
    checkRuns(database);
    await stageAllSamples(reading, (trialId) => options.keepsSamplesOf(trialId));
    await checkOtherFiles(reading);
    await checkTrials(database, tools);
    return { ...read, staging: database, remove: staging.remove };
  } catch (error) {
    staging?.remove();
    throw error;
  } finally {
    file.close();
  }
}

const BYTES_BETWEEN_PAUSES = 2 ** 20;
const TRIALS_BETWEEN_PAUSES = 50;

async function stageAllSamples(reading: Reading, keeps: (trialId: string) => boolean): Promise<void> {
  const trials = reading.staging
    .prepare<[], { id: string; slotCount: number }>(
      'SELECT trial_id AS id, slot_count AS slotCount FROM slots_of_trial ORDER BY trial_id',
    )
    .all();
  for (const trial of trials) await stageSamples(reading, trial, keeps(trial.id));
}

/** What is neither a table nor samples is held against its SHA-256 all the same: it was vouched for. */
async function checkOtherFiles(reading: Reading): Promise<void> {
  const read = new Set<string>([MANIFEST_FILE, ...packageTables.map(({ name }) => tableFile(name))]);
  for (const id of idsOf(reading.staging, 'trial')) read.add(countsFile(id)).add(arrivalsFile(id));
  const photos = reading.staging
    .prepare<[], { id: string; mediaType: string }>('SELECT id, media_type AS mediaType FROM tool_photo')
    .all();
  for (const { id, mediaType } of photos) read.add(photoFile(id, mediaType));
  for (const [path, listed] of reading.files) {
    if (read.has(path)) continue;
    if (path.startsWith('data/')) {
      throw invalidPackage(path, null, 'It belongs to no table and no trial of the package.');
    }
    for await (const piece of readListed(reading.file, listed)) await reading.onRead(piece.length);
  }
}

function idsOf(database: WritableDatabase, table: string): string[] {
  return database.prepare<[], string>(`SELECT id FROM ${table} ORDER BY id`).pluck().all();
}

/** A guided calibration goes out only once it has ended; then nothing more happens in it. */
function checkRuns(database: WritableDatabase): void {
  const runId = database
    .prepare<[], string>(
      `SELECT run.id FROM calibration_run AS run LEFT JOIN calibration_run_event AS ending
         ON ending.run_id = run.id AND ending.kind IN ('accepted', 'discarded')
       WHERE ending.id IS NULL
         OR EXISTS (SELECT 1 FROM calibration_run_event AS later WHERE later.run_id = run.id AND later.id > ending.id)
       LIMIT 1`,
    )
    .pluck()
    .get();
  if (runId === undefined) return;
  throw invalidPackage(
    tableFile('calibration_run_event'),
    null,
    `The guided calibration ${runId} was not ended, or goes on after its end.`,
  );
}

/** Reads each trial as the pages will: what they would stumble over has no place here. */
async function checkTrials(database: WritableDatabase, tools: WorkTools): Promise<void> {
  for (const [index, id] of idsOf(database, 'trial').entries()) {
    try {
      refreshListing(database, id);
      getTrial(database, id);
    } catch (error) {
      if (error instanceof AppError && error.code !== 'database-damaged') throw error;
      throw invalidPackage(tableFile('trial'), null, `Trial ${id} cannot be read by the program.`, error);
    }
    if (index % TRIALS_BETWEEN_PAUSES === 0) await tools.pause();
  }
}
