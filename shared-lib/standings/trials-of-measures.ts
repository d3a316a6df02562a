import type { ScoredTrial, StandingsInput } from './standings-model.ts';

/** The trials of one contender that have one of the measures. */
export interface TrialsOfMeasure {
  /** They count and have a value above zero; only these have a logarithm. */
  readonly counted: readonly { readonly trial: ScoredTrial; readonly ln: number }[];
  /** They count, but their value is missing, or zero or less. */
  readonly valueless: readonly ScoredTrial[];
  readonly leftOut: readonly ScoredTrial[];
}

const none: TrialsOfMeasure = { counted: [], valueless: [], leftOut: [] };

/** Looked up by place in `StandingsInput.measures` and contender. */
export type TrialLookup = (measure: number, key: string) => TrialsOfMeasure;

interface Gathered {
  counted: { trial: ScoredTrial; ln: number }[];
  valueless: ScoredTrial[];
  leftOut: ScoredTrial[];
}

export function gatherTrials({ trials, measures }: Pick<StandingsInput, 'trials' | 'measures'>): TrialLookup {
  const byMeasure = measures.map(() => new Map<string, Gathered>());
  for (const trial of trials) {
    for (const { measure, value } of trial.values) {
      const ofKey = byMeasure[measure];
      if (ofKey === undefined) continue;
      let gathered = ofKey.get(trial.key);
      if (gathered === undefined) {
        gathered = { counted: [], valueless: [], leftOut: [] };
        ofKey.set(trial.key, gathered);
      }
      if (trial.leftOutBecause !== null) gathered.leftOut.push(trial);
      else if (value !== null && value > 0) gathered.counted.push({ trial, ln: Math.log(value) });
      else gathered.valueless.push(trial);
    }
  }
  return (measure, key) => byMeasure[measure]?.get(key) ?? none;
}

/** The same to the last digit in whatever order the trials come. NaN for none. */
export function meanLn({ counted }: TrialsOfMeasure): number {
  if (counted.length === 0) return Number.NaN;
  const sorted = new Float64Array(counted.length);
  for (let index = 0; index < sorted.length; index += 1) sorted[index] = counted[index]?.ln ?? Number.NaN;
  sorted.sort();
  let sum = 0;
  for (const ln of sorted) sum += ln;
  return sum / sorted.length;
}

/** Rounded to 14 digits: the way through the logarithm would cost a single value its last one. */
export function geometricMean(trials: TrialsOfMeasure): number {
  return Number(Math.exp(meanLn(trials)).toPrecision(14));
}
