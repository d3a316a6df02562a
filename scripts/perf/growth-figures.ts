import { open, seedBench } from '../../tests/integration/storage-support/bench-fixture.ts';
import { inFolderOfItsOwn } from './folder-of-its-own.ts';
import { inFreshProcesses } from './fresh-processes.ts';
import type { PassingMeasurement, PerfRun } from './perf-run.ts';
import { recordPulls } from './recorded-pulls.ts';

/** A record is a second longer than its pull at either end. */
const AROUND_S = 2;
const RECORD_S = 15;
const RATES_HZ = [80, 1000, 10_000, 100_000];
const LENGTHS = { full: [15, 120, 900, 3600], short: [15, 120] };
const LENGTH_RATE_HZ = 10_000;
const ROUNDS = { full: 3, short: 2 };

/** Recorded trials that differ in one thing, from the smallest to the largest. */
export interface GrowthSubject {
  readonly folder: string;
  readonly rounds: number;
  readonly byRate: readonly GrowingTrial[];
  readonly byLength: readonly GrowingTrial[];
}

export interface GrowingTrial {
  readonly label: string;
  readonly trialId: string;
  readonly rateHz: number;
  readonly recordS: number;
}

/** How the cost of a stored trial grows with its rate and its length; generated, not recorded live. */
export function prepareGrowth(run: PerfRun): Promise<PassingMeasurement> {
  return inFolderOfItsOwn((folder) => inFreshProcesses('growth-process.ts', recordTrials(folder, run)));
}

function recordTrials(folder: string, { say, form }: PerfRun): GrowthSubject {
  const database = open(folder);
  const transducer = seedBench(database);
  const recorded = (trial: Omit<GrowingTrial, 'trialId'>): GrowingTrial => {
    const { label, rateHz, recordS } = trial;
    say(`  ${recordS} s at ${rateHz} Sa/s`);
    const { trialIds } = recordPulls(database, transducer, {
      sampleRateHz: rateHz,
      count: 1,
      pullS: recordS - AROUND_S,
      name: label,
    });
    return { ...trial, trialId: trialIds[0] ?? '' };
  };
  const byRate = RATES_HZ.map((rateHz) => recorded({ rateHz, recordS: RECORD_S, label: `${rateHz} Sa/s` }));
  const byLength = LENGTHS[form].map((recordS) =>
    recorded({ rateHz: LENGTH_RATE_HZ, recordS, label: `${recordS} s` }),
  );
  database.close();
  return { folder, rounds: ROUNDS[form], byRate, byLength };
}
