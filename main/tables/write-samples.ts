import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import { type ReadableDatabase, reading } from '../storage/database.ts';
import type { Work, WorkTools } from '../work/work-tools.ts';
import { calibrationsTable, createGrowingTables, type DataSetTable } from './data-set-tables.ts';
import { finishTarget } from '../work/finish-target.ts';
import { createParquetFile } from './parquet-file.ts';
import { type Reading, withReadOnlyDatabase } from './read-only-database.ts';
import { createSampleRows } from './sample-rows.ts';
import { dataSetReadMe } from './read-me-texts.ts';
import { calibrationIdsOf, readTabledCalibrations } from './tabled-calibrations.ts';
import { readPresentRuns, readTabledTrial } from './tabled-trial.ts';
import { listOrigins } from './trial-origins.ts';

export interface SamplesWork {
  readonly databasePath: string;
  readonly bench: { readonly id: string; readonly name: string };
  readonly trialIds: readonly string[];
  readonly targetFolder: string;
}

/**
 * Writes samples and figures as a folder of Parquet files, partitioned by bench and day: see docs/data-files.md. Trials that
 * are still being recorded are left out.
 *
 * Errors: those of `finishTarget`; AppError 'trial-not-found', 'block-corrupt', 'cancelled'.
 */
export const writeSamples: Work<SamplesWork, { readonly bytes: number }> = async (input, tools) =>
  withReadOnlyDatabase(input.databasePath, (from) =>
    finishTarget(input.targetFolder, async (part) => ({
      bytes: await writeDataSet(from, input, part, tools),
    })),
  );

async function writeDataSet(
  from: Reading,
  { bench, trialIds }: SamplesWork,
  folder: string,
  tools: WorkTools,
): Promise<number> {
  const trials = listTrials(from.database(), trialIds, bench);
  const totalSamples = trials.reduce((sum, { sampleCount }) => sum + sampleCount, 0);
  let bytes = 0;
  let doneSamples = 0;
  for (const ofBench of Map.groupBy(trials, ({ bench: { id } }) => id).values()) {
    const { id, name } = ofBench[0]?.bench ?? bench;
    const partition = `bench=${partitionValue(id)}`;
    const tables = createGrowingTables(name);
    const calibrationIds = new Set<string>();
    for (const [day, ofDay] of Map.groupBy(ofBench, (trial) => trial.day)) {
      bytes += await writeDay(from, ofDay, {
        pathOf: (part) => join(folder, 'samples', partition, `day=${day}`, `part-${part}.parquet`),
        onTrial: (record) => {
          tables.add(record);
          for (const calibrationId of calibrationIdsOf(record)) calibrationIds.add(calibrationId);
        },
        pause: async (samplesOfDay) => {
          tools.progress((doneSamples + samplesOfDay) / totalSamples, `Samples of ${day}`);
          await tools.pause();
        },
      });
      doneSamples += ofDay.reduce((sum, { sampleCount }) => sum + sampleCount, 0);
    }
    const { trials: trialsTable, figures, levels } = tables;
    const calibrations = calibrationsTable(readTabledCalibrations(from.database(), calibrationIds));
    for (const [table, content] of Object.entries({ trials: trialsTable, figures, levels, calibrations })) {
      bytes += writeTable(join(folder, table, partition, 'part-0.parquet'), content);
    }
  }
  const readMe = Buffer.from(dataSetReadMe);
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, 'README.md'), readMe, { flag: 'wx', flush: true });
  return bytes + readMe.length;
}

/** Returns the bytes of its files. */
async function writeDay(
  from: Reading,
  trials: readonly ListedTrial[],
  tools: {
    readonly pathOf: (part: number) => string;
    readonly onTrial: (record: TrialRecord) => void;
    readonly pause: (samplesOfDay: number) => Promise<void>;
  },
): Promise<number> {
  const rows = createSampleRows(tools.pathOf);
  let doneSamples = 0;
  try {
    for (const { id, sampleCount } of trials) {
      const database = from.database();
      const trial = readTabledTrial(database, id);
      tools.onTrial(trial.record);
      for (const run of readPresentRuns(database, id)) {
        for (const slot of rows.add(trial, run)) await tools.pause(doneSamples + slot);
      }
      doneSamples += sampleCount;
      await tools.pause(doneSamples);
    }
    return rows.close();
  } catch (error) {
    rows.abandon();
    throw error;
  }
}

interface ListedTrial {
  readonly id: string;
  /** In UTC, so that it does not depend on where the data set is written. */
  readonly day: string;
  /** Where it was pulled: what was taken in from another bench stays that bench's. */
  readonly bench: SamplesWork['bench'];
  readonly sampleCount: number;
}

/** By identity, so that row groups of a day have ranges of them that do not overlap. */
function listTrials(
  database: ReadableDatabase,
  trialIds: readonly string[],
  own: SamplesWork['bench'],
): ListedTrial[] {
  const trials = reading(() =>
    database
      .prepare<[string], { id: string; startedAt: string; sampleCount: number }>(
        `SELECT id, started_at AS startedAt,
           (SELECT coalesce(sum(slot_count - lost_slot_count), 0) FROM raw_block WHERE trial_id = trial.id) AS sampleCount
         FROM trial WHERE state <> 'recording' AND id IN (SELECT value FROM json_each(?)) ORDER BY id`,
      )
      .all(JSON.stringify(trialIds)),
  );
  const origins = listOrigins(database);
  return trials.map(({ id, startedAt, sampleCount }) => ({
    id,
    day: new Date(startedAt).toISOString().slice(0, 10),
    bench: origins.get(id) ?? own,
    sampleCount,
  }));
}

function writeTable(path: string, { columns, rows }: DataSetTable): number {
  const file = createParquetFile(path, columns);
  try {
    file.writeRows(columns.map((_column, index) => rows.map((row) => row[index] ?? null)));
    return file.close();
  } catch (error) {
    file.abandon();
    throw error;
  }
}

/** As a name of a folder; identities of other benches come from files that anybody may have made. */
function partitionValue(id: string): string {
  return encodeURIComponent(id).replace(
    /[.!'()*~]/g,
    (sign) => `%${sign.charCodeAt(0).toString(16).toUpperCase()}`,
  );
}
