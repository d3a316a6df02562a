import { reduceMinMax } from '../../shared-lib/signal/fold-live-bins.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { evaluateRecording } from '../../main/storage/recording-evaluation.ts';
import { readRecording } from '../../main/storage/recording-repository.ts';
import { getTrial } from '../../main/storage/trial-repository.ts';
import { createTrialCurves } from '../../main/trials/trial-curves.ts';
import { open } from '../../tests/integration/storage-support/bench-fixture.ts';
import type { Figure } from '../measured-figures.ts';
import { cpuMsAlone } from './cpu-rounds.ts';
import type { GrowingTrial, GrowthSubject } from './growth-figures.ts';
import { reportFigures } from './report-figures.ts';
import { medianOf, medianRatioOf, roundTo, roundToDigits } from './statistics.ts';

/** Linear, and what two runs differ by. */
const MOST_SHARE = 1.15;
const BINS = 1350;
/** Ours: a look closer must not tell a trial of an hour from one of a quarter of a minute. */
const MOST_STEP_GROWTH = 3;

const columns = ['open', 'step', 'measure', 'bareRead', 'bareReduce'] as const;
type Column = (typeof columns)[number];

/** A stored trial, what is done with it, and the processor time of each round in ms. */
interface WorkedTrial {
  readonly label: string;
  readonly samples: number;
  readonly works: Readonly<Record<Column, () => unknown>>;
  readonly timesMs: Readonly<Record<Column, number[]>>;
}

async function measured(
  database: WritableDatabase,
  recorded: readonly GrowingTrial[],
  rounds: number,
): Promise<WorkedTrial[]> {
  const trials: WorkedTrial[] = [];
  for (const trial of recorded) trials.push(await workedTrialOf(database, trial));
  for (let round = 0; round < rounds; round += 1) await measureRound(trials);
  return trials;
}

async function workedTrialOf(
  database: WritableDatabase,
  { label, trialId, rateHz, recordS }: GrowingTrial,
): Promise<WorkedTrial> {
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
    works: {
      open: () => createTrialCurves(database, () => rateHz).curve(whole),
      step: () => {
        step += 1;
        // Back to the start before the record ends, for beyond it there is nothing to look at.
        const fromS = (0.1 * step) % (recordS / 2);
        return opened.curve({ ...whole, fromS, toS: fromS + recordS / 3 });
      },
      measure: () =>
        evaluateRecording(database, record, recording, {
          sampleRateHz: rateHz,
          zeroAfterCounts: null,
          levelsNm: [100],
        }),
      bareRead: () => readRecording(database, trialId),
      bareReduce: () => reduceMinMax(values, 0, values.length, BINS),
    },
    timesMs: { open: [], step: [], measure: [], bareRead: [], bareReduce: [] },
  };
}

/** One thing after the other with all trials, so that a growth is of times that lie close together. */
async function measureRound(trials: readonly WorkedTrial[]): Promise<void> {
  for (const column of columns) {
    for (const { works, timesMs } of trials) timesMs[column].push(await cpuMsAlone(works[column]));
  }
}

function figuresOf(by: 'rate' | 'length', trials: readonly WorkedTrial[]): Record<string, Figure> {
  const [smallest, largest] = [trials[0], trials.at(-1)];
  if (smallest === undefined || largest === undefined) throw new Error('Nothing was measured');
  const samplesGrew = largest.samples / smallest.samples;
  const growthOf = (column: Column): number =>
    medianRatioOf(largest.timesMs[column], smallest.timesMs[column]);
  const listed = (column: Column): string =>
    trials.map(({ label, timesMs }) => `${label} ${roundTo(medianOf(timesMs[column]), 2)} ms`).join(', ');
  const from = `${smallest.label} to ${largest.label}`;
  const how = `Median of the growths of ${smallest.timesMs.open.length} rounds, processor time`;
  const proportional = (name: string, column: 'open' | 'measure'): Figure => {
    const share = growthOf(column) / samplesGrew;
    return {
      value: roundToDigits(share),
      unit: `x in proportion to the samples, ${from}`,
      baseline: roundToDigits(growthOf('bareRead') / samplesGrew),
      limit: MOST_SHARE,
      met: share <= MOST_SHARE,
      note: `${how} of ${name}; medians: ${listed(column)}. Baseline: how reading all counts grows (${listed('bareRead')}).`,
    };
  };
  return {
    [`growth.${by}.open`]: proportional('the first opening of a stored trial, without the window', 'open'),
    [`growth.${by}.measure`]: proportional('all its measures', 'measure'),
    [`growth.${by}.step`]: {
      value: roundToDigits(growthOf('step')),
      unit: `x for a look at a third of it, ${from}`,
      baseline: roundToDigits(growthOf('bareReduce')),
      limit: MOST_STEP_GROWTH,
      met: growthOf('step') <= MOST_STEP_GROWTH,
      note: `${how}; medians: ${listed('step')}. Baseline: how folding every sample grows (${listed('bareReduce')}).`,
    },
  };
}

await reportFigures(async ({ folder, rounds, byRate, byLength }: GrowthSubject) => {
  const database = open(folder);
  const figures = {
    ...figuresOf('rate', await measured(database, byRate, rounds)),
    ...figuresOf('length', await measured(database, byLength, rounds)),
  };
  database.close();
  return figures;
});
