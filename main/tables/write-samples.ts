import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { scaleOfCalibration } from '../standings/scale-of-calibration.ts';
import { getCalibration } from '../storage/calibration-repository.ts';
import { type ReadableDatabase, reading } from '../storage/database.ts';
import type { Work, WorkTools } from '../work/work-tools.ts';
import {
  calibrationsTable,
  createGrowingTables,
  type DataSetTable,
  type TabledCalibration,
} from './data-set-tables.ts';
import { finishTarget } from './finish-target.ts';
import { createParquetFile } from './parquet-file.ts';
import { withReadOnlyDatabase } from './read-only-database.ts';
import { createSampleRows } from './sample-rows.ts';
import { dataSetReadMe } from './read-me-texts.ts';
import { readPresentRuns, readTabledTrial } from './tabled-trial.ts';

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
  withReadOnlyDatabase(input.databasePath, (database) =>
    finishTarget(input.targetFolder, async (part) => ({
      bytes: await writeDataSet(database, input, part, tools),
    })),
  );

async function writeDataSet(
  database: ReadableDatabase,
  { bench, trialIds }: SamplesWork,
  folder: string,
  tools: WorkTools,
): Promise<number> {
  const trials = listTrials(database, trialIds, bench);
  let bytes = 0;
  const totalSamples = trials.reduce((sum, { sampleCount }) => sum + sampleCount, 0);
  let doneSamples = 0;
  for (const ofBench of Map.groupBy(trials, ({ benchId }) => benchId).values()) {
    const { benchId, benchName } = ofBench[0] ?? { benchId: bench.id, benchName: bench.name };
    const partition = `bench=${partitionValue(benchId)}`;
    const tables = createGrowingTables(benchName);
    const calibrationIds = new Set<string>();
    for (const [day, ofDay] of Map.groupBy(ofBench, (trial) => trial.day)) {
      const rows = createSampleRows((part) =>
        join(folder, 'samples', partition, `day=${day}`, `part-${part}.parquet`),
      );
      try {
        for (const { id, sampleCount } of ofDay) {
          const trial = readTabledTrial(database, id);
          const { conditions, figures } = trial.record;
          calibrationIds
            .add(conditions.calibrationId)
            .add(figures?.calibrationId ?? conditions.calibrationId);
          tables.add(trial.record);
          for (const run of readPresentRuns(database, id)) {
            for (const slot of rows.add(trial, run)) {
              tools.progress((doneSamples + slot) / totalSamples, `Samples of ${day}`);
              await tools.pause();
            }
          }
          doneSamples += sampleCount;
          tools.progress(doneSamples / totalSamples, `Samples of ${day}`);
          await tools.pause();
        }
        bytes += rows.close();
      } catch (error) {
        rows.abandon();
        throw error;
      }
    }
    const { trials: trialsTable, figures, levels } = tables;
    const calibrations = calibrationsTable(readCalibrations(database, calibrationIds));
    for (const [name, table] of Object.entries({ trials: trialsTable, figures, levels, calibrations })) {
      bytes += writeTable(join(folder, name, partition, 'part-0.parquet'), table);
    }
  }
  const readMe = Buffer.from(dataSetReadMe);
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, 'README.md'), readMe, { flag: 'wx', flush: true });
  return bytes + readMe.length;
}

interface ListedTrial {
  readonly id: string;
  /** In UTC, so that it does not depend on where the data set is written. */
  readonly day: string;
  /** Where it was pulled: what was taken in from another bench stays that bench's. */
  readonly benchId: string;
  readonly benchName: string;
  readonly sampleCount: number;
}

interface ListedRow {
  id: string;
  startedAt: string;
  benchId: string | null;
  benchName: string | null;
  sampleCount: number;
}

/** By identity, so that row groups of a day have ranges of them that do not overlap. */
function listTrials(
  database: ReadableDatabase,
  trialIds: readonly string[],
  own: SamplesWork['bench'],
): ListedTrial[] {
  const trials = reading(() =>
    database
      .prepare<[string], ListedRow>(
        `SELECT trial.id, started_at AS startedAt, bench.id AS benchId, bench.name AS benchName,
           (SELECT coalesce(sum(slot_count - lost_slot_count), 0) FROM raw_block WHERE trial_id = trial.id) AS sampleCount
         FROM trial
           LEFT JOIN imported_row ON table_name = 'trial' AND row_key = trial.id
           LEFT JOIN bench ON bench.id = bench_id
         WHERE state <> 'recording' AND trial.id IN (SELECT value FROM json_each(?)) ORDER BY trial.id`,
      )
      .all(JSON.stringify(trialIds)),
  );
  return trials.map(({ id, startedAt, benchId, benchName, sampleCount }) => ({
    id,
    sampleCount,
    day: new Date(startedAt).toISOString().slice(0, 10),
    benchId: benchId ?? own.id,
    benchName: benchName ?? own.name,
  }));
}

function readCalibrations(database: ReadableDatabase, ids: ReadonlySet<string>): TabledCalibration[] {
  return [...ids].toSorted().map((id) => {
    const { uncertainty } = scaleOfCalibration(database, id);
    return {
      calibration: getCalibration(database, id),
      uncertaintyPercent: uncertainty === null ? null : 2 * 100 * uncertainty,
    };
  });
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
