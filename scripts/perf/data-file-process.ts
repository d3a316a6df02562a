import { closeSync, openSync, rmSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import { writeCountsCsv } from '../../shared-lib/tables/write-counts-csv.ts';
import type { ReadableDatabase } from '../../main/storage/database.ts';
import { readRecording, type Recording } from '../../main/storage/recording-repository.ts';
import { writeSamples } from '../../main/tables/write-samples.ts';
import { databasePath, open } from '../../tests/integration/storage-support/bench-fixture.ts';
import type { Figure } from '../measured-figures.ts';
import { measureInTurn } from './cpu-rounds.ts';
import type { DataFilesSubject } from './data-file-figures.ts';
import { reportFigures } from './report-figures.ts';
import { medianOf, medianRatioOf, roundTo, roundToDigits, spreadOf } from './statistics.ts';

const ROUNDS = 3;
const ROWS_PER_PIECE = 50_000;
const LEAST_CSV_ROWS_PER_S = 3_000_000;
/** Ours: a year of a busy bench (10^9 samples) in one night; 10 GB of it; and a question to a day of it in a second. */
const LEAST_PARQUET_ROWS_PER_S = 100_000;
const MOST_PARQUET_BYTES = 10;
const MOST_QUERY_MS_PER_MILLION = 100;

async function csvFigure(
  database: ReadableDatabase,
  { folder, trialIds }: DataFilesSubject,
): Promise<Figure> {
  const path = join(folder, 'counts.csv');
  const exportAll = (): number => {
    const file = openSync(path, 'w');
    let rows = 0;
    for (const trialId of trialIds) {
      const recording = readRecording(database, trialId);
      writePieces(file, recording);
      rows += recording.counts.length;
    }
    closeSync(file);
    return rows;
  };
  const joinAll = (): void => {
    const file = openSync(path, 'w');
    for (const trialId of trialIds) {
      const { counts } = readRecording(database, trialId);
      writeSync(file, Array.from(counts, (count, slot) => `${slot},${count}`).join('\r\n'));
    }
    closeSync(file);
  };
  const rows = exportAll();
  const { ownMs, bareMs } = await measureInTurn(exportAll, joinAll, ROUNDS);
  const perSecondOf = (ms: number): number => (1000 * rows) / ms;
  const perSecond = perSecondOf(medianOf(ownMs));
  return {
    value: Math.round(perSecond),
    unit: 'rows/s of slot and counts as CSV, processor time',
    baseline: Math.round(perSecondOf(medianOf(bareMs))),
    limit: LEAST_CSV_ROWS_PER_S,
    met: perSecond >= LEAST_CSV_ROWS_PER_S,
    note: `Median of ${ROUNDS}, ${rows} rows from the database to a file: reading, unpacking, writing. Baseline: the same in turn with it, with rows joined as text.`,
    ratio: roundToDigits(medianRatioOf(bareMs, ownMs)),
    spread: spreadOf(ownMs.map(perSecondOf), 0),
  };
}

function writePieces(file: number, { counts, gaps }: Recording): void {
  for (let first = 0; first < counts.length; first += ROWS_PER_PIECE) {
    const end = Math.min(counts.length, first + ROWS_PER_PIECE);
    writeSync(file, writeCountsCsv(counts, gaps, { first, end }));
  }
}

async function parquetFigures(
  database: ReadableDatabase,
  { folder, trialIds, sampleCount }: DataFilesSubject,
): Promise<Record<string, Figure>> {
  const target = join(folder, 'samples');
  const work = { databasePath: databasePath(folder), bench: { id: 'bench-1', name: 'Bench 1' }, trialIds };
  const tools = { progress: () => undefined, pause: () => Promise.resolve() };
  const { ownMs: writeMs, bareMs: readMs } = await measureInTurn(
    async () => {
      rmSync(target, { recursive: true, force: true });
      await writeSamples({ ...work, targetFolder: target }, tools);
    },
    () => {
      for (const trialId of trialIds) readRecording(database, trialId);
    },
    ROUNDS,
  );
  const instance = await DuckDBInstance.create(':memory:', { threads: '1' });
  const connection = await instance.connect();
  const samples = `'${join(target, 'samples', '*', '*', '*.parquet').replaceAll("'", "''")}'`;
  const ask = async (sql: string): Promise<Record<string, unknown>[]> =>
    (await connection.runAndReadAll(sql)).getRowObjectsJson();
  const columns = await ask(
    `SELECT path_in_schema AS name, sum(total_compressed_size)::DOUBLE AS bytes FROM parquet_metadata(${samples}) GROUP BY 1`,
  );
  const bytesOf = (name: string): number =>
    Number(columns.find((column) => column['name'] === name)?.['bytes'] ?? Number.NaN) / sampleCount;
  const total = columns.reduce((sum, column) => sum + Number(column['bytes']), 0) / sampleCount;
  const question = `SELECT trial_id, count(*), max(torque_nm), avg(torque_nm) FROM ${samples} WHERE time_s BETWEEN 0 AND 5 GROUP BY trial_id`;
  const { ownMs, bareMs } = await measureInTurn(
    () => ask(question),
    () => ask(`SELECT trial_id, sum(torque_nm), sum(time_s) FROM ${samples} GROUP BY trial_id`),
    ROUNDS,
  );
  const perMillion = (ms: readonly number[]): number => medianOf(ms) / (sampleCount / 1e6);
  const questionMs = perMillion(ownMs);
  connection.closeSync();
  instance.closeSync();
  const rowsPerSOf = (ms: readonly number[]): number => (1000 * sampleCount) / medianOf(ms);
  const parts = ['counts', 'slot', 'time_s', 'torque_nm', 'trial_id']
    .map((name) => `${name} ${bytesOf(name).toFixed(2)}`)
    .join(', ');
  return {
    'P5.parquetBytes': {
      value: roundTo(total, 2),
      unit: 'B per sample of the Parquet data set at 40000 Sa/s',
      baseline: roundTo(bytesOf('counts') + bytesOf('slot') + bytesOf('trial_id'), 2),
      limit: MOST_PARQUET_BYTES,
      met: total <= MOST_PARQUET_BYTES,
      note: `By column: ${parts}. Baseline: without time and torque, which follow from the rest.`,
    },
    'P5.parquetRows': {
      value: Math.round(rowsPerSOf(writeMs)),
      unit: 'rows/s as a Parquet data set, processor time',
      baseline: Math.round(rowsPerSOf(readMs)),
      ratio: roundToDigits(medianRatioOf(readMs, writeMs)),
      limit: LEAST_PARQUET_ROWS_PER_S,
      met: rowsPerSOf(writeMs) >= LEAST_PARQUET_ROWS_PER_S,
      note: `Median of ${ROUNDS}, from the database to the folder. Limit: 10^9 samples in 3 hours. Baseline, in turn with it: reading and unpacking the same samples.`,
    },
    'P5.query': {
      value: roundToDigits(questionMs),
      unit: 'ms of processor time per million samples, count, mean and maximum of each trial by DuckDB',
      baseline: roundToDigits(perMillion(bareMs)),
      ratio: roundToDigits(medianRatioOf(ownMs, bareMs)),
      limit: MOST_QUERY_MS_PER_MILLION,
      met: questionMs <= MOST_QUERY_MS_PER_MILLION,
      note: `Median of ${ROUNDS}, one thread, files in memory. Baseline: the sums of the two columns that it reads, by trial too.`,
    },
  };
}

await reportFigures(async (subject: DataFilesSubject) => {
  const database = open(subject.folder);
  const figures = {
    'P5.csv': await csvFigure(database, subject),
    ...(await parquetFigures(database, subject)),
  };
  database.close();
  return figures;
});
