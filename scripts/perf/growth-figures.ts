import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { reduceMinMax } from '../../shared-lib/signal/fold-live-bins.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { evaluateRecording } from '../../main/storage/recording-evaluation.ts';
import { readRecording } from '../../main/storage/recording-repository.ts';
import { getTrial } from '../../main/storage/trial-repository.ts';
import { createTrialCurves } from '../../main/trials/trial-curves.ts';
import { open, seedBench } from '../../tests/integration/storage-support/bench-fixture.ts';
import type { Figure } from '../measured-figures.ts';
import type { PerfRun } from './perf-run.ts';
import { recordPulls } from './recorded-pulls.ts';
import { medianOf, roundTo } from './statistics.ts';

/** A record is a second longer than its pull at either end. */
const AROUND_S = 2;
const RECORD_S = 15;
const RATES_HZ = [80, 1000, 10_000, 100_000];
const LENGTHS = { full: [15, 120, 900, 3600], short: [15, 120] };
const LENGTH_RATE_HZ = 10_000;
const ROUNDS = 5;
/** The system counts a thread's time in steps of some milliseconds, so what is shorter is done again and again. */
const LEAST_ROUND_MS = 100;
/** Linear, and what two runs differ by. */
const MOST_SHARE = 1.15;
const BINS = 1350;
/** Ours: a look closer must not tell a trial of an hour from one of a quarter of a minute. */
const MOST_STEP_GROWTH = 3;

interface TrialTimes {
  readonly label: string;
  readonly samples: number;
  readonly openMs: number;
  readonly stepMs: number;
  readonly evaluateMs: number;
  readonly bareReadMs: number;
  readonly bareReduceMs: number;
}

/** How the cost of a stored trial grows with its rate and its length; generated, not recorded live. */
export async function measureGrowth({ say, form }: PerfRun): Promise<Record<string, Figure>> {
  const folder = mkdtempSync(join(tmpdir(), 'proofarm-perf-'));
  const database = open(folder);
  try {
    const transducer = seedBench(database);
    // The first of a process is another measurement.
    await timesOf(database, transducer, { rateHz: 1000, recordS: RECORD_S, label: 'uncounted' });
    const byRate: TrialTimes[] = [];
    for (const rateHz of RATES_HZ) {
      say(`  ${RECORD_S} s at ${rateHz} Sa/s`);
      byRate.push(
        await timesOf(database, transducer, { rateHz, recordS: RECORD_S, label: `${rateHz} Sa/s` }),
      );
    }
    const byLength: TrialTimes[] = [];
    for (const recordS of LENGTHS[form]) {
      say(`  ${recordS} s at ${LENGTH_RATE_HZ} Sa/s`);
      byLength.push(
        await timesOf(database, transducer, { rateHz: LENGTH_RATE_HZ, recordS, label: `${recordS} s` }),
      );
    }
    return { ...figuresOf('rate', byRate), ...figuresOf('length', byLength) };
  } finally {
    database.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

async function timesOf(
  database: WritableDatabase,
  transducer: Transducer,
  { rateHz, recordS, label }: { readonly rateHz: number; readonly recordS: number; readonly label: string },
): Promise<TrialTimes> {
  const { trialIds } = recordPulls(database, transducer, {
    sampleRateHz: rateHz,
    count: 1,
    pullS: recordS - AROUND_S,
    name: label,
  });
  const trialId = trialIds[0] ?? '';
  const record = getTrial(database, trialId);
  const recording = readRecording(database, trialId);
  const whole = { trialId, fromS: null, toS: null, bins: BINS, withDisplay: false };
  const opened = createTrialCurves(database, () => rateHz);
  await opened.curve(whole);
  const values = Float64Array.from(recording.counts);
  let step = 0;
  return {
    label,
    samples: recording.counts.length,
    openMs: await medianCpuMs(() => createTrialCurves(database, () => rateHz).curve(whole)),
    stepMs: await medianCpuMs(() => {
      step += 1;
      // Back to the start before the record ends, for beyond it there is nothing to look at.
      const fromS = (0.1 * step) % (recordS / 2);
      return opened.curve({ ...whole, fromS, toS: fromS + recordS / 3 });
    }),
    evaluateMs: await medianCpuMs(() =>
      evaluateRecording(database, record, recording, {
        sampleRateHz: rateHz,
        zeroAfterCounts: null,
        levelsNm: [100],
      }),
    ),
    bareReadMs: await medianCpuMs(() => readRecording(database, trialId)),
    bareReduceMs: await medianCpuMs(() => reduceMinMax(values, 0, values.length, BINS)),
  };
}

async function medianCpuMs(work: () => unknown): Promise<number> {
  const times: number[] = [];
  for (let round = 0; round < ROUNDS; round += 1) {
    const startedMs = performance.now();
    const before = process.threadCpuUsage();
    let count = 0;
    do {
      await work();
      count += 1;
    } while (performance.now() - startedMs < LEAST_ROUND_MS);
    const { user, system } = process.threadCpuUsage(before);
    times.push((user + system) / 1000 / count);
  }
  return medianOf(times);
}

function figuresOf(by: 'rate' | 'length', times: readonly TrialTimes[]): Record<string, Figure> {
  const [smallest, largest] = [times[0], times.at(-1)];
  if (smallest === undefined || largest === undefined) throw new Error('Nothing was measured');
  const samplesGrew = largest.samples / smallest.samples;
  const growthOf = (column: Exclude<keyof TrialTimes, 'label' | 'samples'>): number =>
    largest[column] / smallest[column];
  const listed = (column: Exclude<keyof TrialTimes, 'label' | 'samples'>): string =>
    times.map((one) => `${one.label} ${roundTo(one[column], 2)} ms`).join(', ');
  const from = `${smallest.label} to ${largest.label}`;
  const proportional = (name: string, column: 'openMs' | 'evaluateMs'): Figure => ({
    value: roundTo(growthOf(column) / samplesGrew, 3),
    unit: `x in proportion to the samples, ${from}`,
    baseline: roundTo(growthOf('bareReadMs') / samplesGrew, 3),
    limit: MOST_SHARE,
    met: growthOf(column) / samplesGrew <= MOST_SHARE,
    note: `Processor time of ${name}, medians of ${ROUNDS}: ${listed(column)}. Baseline: how reading all counts grows (${listed('bareReadMs')}).`,
  });
  return {
    [`growth.${by}.open`]: proportional('the first opening of a stored trial, without the window', 'openMs'),
    [`growth.${by}.measure`]: proportional('all its measures', 'evaluateMs'),
    [`growth.${by}.step`]: {
      value: roundTo(growthOf('stepMs'), 2),
      unit: `x for a look at a third of it, ${from}`,
      baseline: roundTo(growthOf('bareReduceMs'), 1),
      limit: MOST_STEP_GROWTH,
      met: growthOf('stepMs') <= MOST_STEP_GROWTH,
      note: `Processor time, medians of ${ROUNDS}: ${listed('stepMs')}. Baseline: how folding every sample grows (${listed('bareReduceMs')}).`,
    },
  };
}
