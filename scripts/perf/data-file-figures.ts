import type { WritableDatabase } from '../../main/storage/database.ts';
import { recordDecision } from '../../main/storage/trial-repository.ts';
import { decision, open, seedBench } from '../../tests/integration/storage-support/bench-fixture.ts';
import type { Figure } from '../measured-figures.ts';
import { inFolderOfItsOwn } from './folder-of-its-own.ts';
import { inFreshProcesses } from './fresh-processes.ts';
import type { PassingMeasurement } from './perf-run.ts';
import { NOISE_COUNTS, recordPulls } from './recorded-pulls.ts';
import { roundTo } from './statistics.ts';

const quick = { sampleRateHz: 40_000, count: 4, limit: 1.25 };
const slow = { sampleRateHz: 1000, count: 60, limit: 1.7 };

/** Recorded pulls of one quick rate, and where files of them are written. */
export interface DataFilesSubject {
  readonly folder: string;
  readonly trialIds: readonly string[];
  readonly sampleCount: number;
}

/**
 * P5: what a stored sample takes, how quick samples are written as CSV and as a Parquet data set, and how quick that is asked.
 * Processor time of all threads, of the functions that the program uses.
 */
export function prepareDataFiles(): Promise<PassingMeasurement> {
  return inFolderOfItsOwn((folder) => {
    const recorded = recordRates(folder);
    const [fast] = recorded;
    if (fast === undefined) throw new Error('Nothing was measured');
    const { trialIds, sampleCount } = fast;
    const subject: DataFilesSubject = { folder, trialIds, sampleCount };
    const { pass, figures } = inFreshProcesses('data-file-process.ts', subject);
    return {
      pass,
      figures: () => ({
        ...Object.fromEntries(recorded.map((of) => [`P5.bytes${of.sampleRateHz}`, bytesFigure(of)])),
        ...figures(),
      }),
    };
  });
}

interface RecordedRate {
  readonly sampleRateHz: number;
  readonly limit: number;
  readonly trialIds: readonly string[];
  readonly sampleCount: number;
  readonly bytesPerSample: number;
  readonly payloadPerSample: number;
}

function recordRates(folder: string): RecordedRate[] {
  const database = open(folder);
  const transducer = seedBench(database);
  // The program's first rows of everything are not those of the samples.
  recordPulls(database, transducer, { sampleRateHz: 500, count: 1 });
  const recorded = [quick, slow].map((rate) => {
    const before = usedBytes(database);
    const { trialIds, sampleCount } = recordPulls(database, transducer, rate);
    for (const trialId of trialIds) keep(database, trialId);
    return {
      ...rate,
      trialIds,
      sampleCount,
      bytesPerSample: (usedBytes(database) - before) / sampleCount,
      payloadPerSample: payloadBytes(database, trialIds) / sampleCount,
    };
  });
  database.close();
  return recorded;
}

function keep(database: WritableDatabase, trialId: string): void {
  const state = database
    .prepare<[string], string>('SELECT state FROM trial WHERE id = ?')
    .pluck()
    .get(trialId);
  if (state === 'reviewing') recordDecision(database, trialId, decision('kept'));
}

/** Pages that hold something; those that packing has freed are filled again by the next trial. */
function usedBytes(database: WritableDatabase): number {
  const pragma = (name: string): number => Number(database.pragma(name, { simple: true }));
  return (pragma('page_count') - pragma('freelist_count')) * pragma('page_size');
}

function payloadBytes(database: WritableDatabase, trialIds: readonly string[]): number {
  return Number(
    database
      .prepare<[string], number>(
        'SELECT sum(length(payload)) FROM raw_block WHERE trial_id IN (SELECT value FROM json_each(?))',
      )
      .pluck()
      .get(JSON.stringify(trialIds)),
  );
}

function bytesFigure({ sampleRateHz, limit, bytesPerSample, payloadPerSample }: RecordedRate): Figure {
  // Differential entropy of a normal distribution: log2(s sqrt(2 pi e)) bits.
  const noiseBytes = Math.log2(NOISE_COUNTS * Math.sqrt(2 * Math.PI * Math.E)) / 8;
  return {
    value: roundTo(bytesPerSample, 3),
    unit: `B per stored sample at ${sampleRateHz} Sa/s`,
    baseline: roundTo(noiseBytes, 3),
    limit,
    met: bytesPerSample <= limit,
    note: `Pulls of 7 s of a simulated tool, white noise of ${NOISE_COUNTS} counts, recorded in blocks of 20 ms and packed; all pages that came with them, figures, decisions, arrival times and indices included; the packed samples alone take ${payloadPerSample.toFixed(2)}. Baseline: what the noise alone carries (its entropy), below which nothing lossless comes.`,
  };
}
