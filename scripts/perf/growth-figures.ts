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
import { medianCpuMs } from './cpu-rounds.ts';
import { roundTo, roundToDigits } from './statistics.ts';

/** A record is a second longer than its pull at either end. */
const AROUND_S = 2;
const RECORD_S = 15;
const RATES_HZ = [80, 1000, 10_000, 100_000];
const LENGTHS = { full: [15, 120, 900, 3600], short: [15, 120] };
const LENGTH_RATE_HZ = 10_000;
const ROUNDS = { full: 9, short: 5 };
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
  readonly measureMs: number;
  readonly bareReadMs: number;
  readonly bareReduceMs: number;
}

type Column = Exclude<keyof TrialTimes, 'label' | 'samples'>;

/** How the cost of a stored trial grows with its rate and its length; generated, not recorded live. */
export async function measureGrowth({ say, form }: PerfRun): Promise<Record<string, Figure>> {
  const rounds = ROUNDS[form];
  const folder = mkdtempSync(join(tmpdir(), 'proofarm-perf-'));
  const database = open(folder);
  try {
    const transducer = seedBench(database);
    // The first of a process is another measurement.
    await timesOf(database, transducer, { rateHz: 1000, recordS: RECORD_S, label: 'uncounted', rounds });
    const byRate: TrialTimes[] = [];
    for (const rateHz of RATES_HZ) {
      say(`  ${RECORD_S} s at ${rateHz} Sa/s`);
      byRate.push(
        await timesOf(database, transducer, { rateHz, recordS: RECORD_S, label: `${rateHz} Sa/s`, rounds }),
      );
    }
    const byLength: TrialTimes[] = [];
    for (const recordS of LENGTHS[form]) {
      say(`  ${recordS} s at ${LENGTH_RATE_HZ} Sa/s`);
      byLength.push(
        await timesOf(database, transducer, {
          rateHz: LENGTH_RATE_HZ,
          recordS,
          label: `${recordS} s`,
          rounds,
        }),
      );
    }
    return { ...figuresOf('rate', byRate, rounds), ...figuresOf('length', byLength, rounds) };
  } finally {
    database.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

async function timesOf(
  database: WritableDatabase,
  transducer: Transducer,
  {
    rateHz,
    recordS,
    label,
    rounds,
  }: {
    readonly rateHz: number;
    readonly recordS: number;
    readonly label: string;
    readonly rounds: number;
  },
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
  const lookOnwards = (): unknown => {
    step += 1;
    // Back to the start before the record ends, for beyond it there is nothing to look at.
    const fromS = (0.1 * step) % (recordS / 2);
    return opened.curve({ ...whole, fromS, toS: fromS + recordS / 3 });
  };
  const measureAll = (): unknown =>
    evaluateRecording(database, record, recording, {
      sampleRateHz: rateHz,
      zeroAfterCounts: null,
      levelsNm: [100],
    });
  return {
    label,
    samples: recording.counts.length,
    openMs: await medianCpuMs(() => createTrialCurves(database, () => rateHz).curve(whole), { rounds }),
    stepMs: await medianCpuMs(lookOnwards, { rounds }),
    measureMs: await medianCpuMs(measureAll, { rounds }),
    bareReadMs: await medianCpuMs(() => readRecording(database, trialId), { rounds }),
    bareReduceMs: await medianCpuMs(() => reduceMinMax(values, 0, values.length, BINS), { rounds }),
  };
}

function figuresOf(
  by: 'rate' | 'length',
  times: readonly TrialTimes[],
  rounds: number,
): Record<string, Figure> {
  const [smallest, largest] = [times[0], times.at(-1)];
  if (smallest === undefined || largest === undefined) throw new Error('Nothing was measured');
  const samplesGrew = largest.samples / smallest.samples;
  const growthOf = (column: Column): number => largest[column] / smallest[column];
  const listed = (column: Column): string =>
    times.map((one) => `${one.label} ${roundTo(one[column], 2)} ms`).join(', ');
  const from = `${smallest.label} to ${largest.label}`;
  const proportional = (name: string, column: 'openMs' | 'measureMs'): Figure => {
    const share = growthOf(column) / samplesGrew;
    return {
      value: roundToDigits(share),
      unit: `x in proportion to the samples, ${from}`,
      baseline: roundToDigits(growthOf('bareReadMs') / samplesGrew),
      limit: MOST_SHARE,
      met: share <= MOST_SHARE,
      note: `Processor time of ${name}, medians of ${rounds}: ${listed(column)}. Baseline: how reading all counts grows (${listed('bareReadMs')}).`,
    };
  };
  return {
    [`growth.${by}.open`]: proportional('the first opening of a stored trial, without the window', 'openMs'),
    [`growth.${by}.measure`]: proportional('all its measures', 'measureMs'),
    [`growth.${by}.step`]: {
      value: roundToDigits(growthOf('stepMs')),
      unit: `x for a look at a third of it, ${from}`,
      baseline: roundToDigits(growthOf('bareReduceMs')),
      limit: MOST_STEP_GROWTH,
      met: growthOf('stepMs') <= MOST_STEP_GROWTH,
      note: `Processor time, medians of ${rounds}: ${listed('stepMs')}. Baseline: how folding every sample grows (${listed('bareReduceMs')}).`,
    },
  };
}
