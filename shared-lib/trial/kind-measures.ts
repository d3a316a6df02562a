import { formatRate } from '../format-quantity.ts';
import { MIN_MEASURING_RATE_HZ } from '../signal/measuring-curve.ts';
import { breakaway } from './breakaway.ts';
import { endurance } from './endurance.ts';
import type { Step } from './step-model.ts';
import type { Measure, TrialFigures } from './trial-model.ts';
import { runIndices, type TrialRun } from './trial-run.ts';

/** What of a trial is there for the measures of its kind, with and without an onset. */
export interface KindFacts {
  /** Raw calibrated samples of the whole record, positive in the direction of the step; NaN: lost. */
  readonly rawNm: Float64Array;
  /** Null under 36 Sa/s. */
  readonly measuringNm: Float64Array | null;
  readonly nominalRateHz: number;
  readonly sampleRateHz: number;
  readonly onsetLevelNm: number;
  readonly sustained: Measure;
  /** After onset; null where the torque stayed. */
  readonly earlyStopS: number | null;
}

type KindMeasures = Pick<TrialFigures, 'stallTorqueNm' | 'breakaway' | 'endurance'>;

/** The measures that only trials of one kind have; null for those of other kinds. `run` null: there is no onset. */
export function kindMeasures(run: TrialRun | null, step: Step, facts: KindFacts): KindMeasures {
  const none: KindMeasures = { stallTorqueNm: null, breakaway: null, endurance: null };
  switch (step.kind) {
    case 'tighten':
      return none;
    case 'breakaway':
      return {
        ...none,
        breakaway: run ? breakaway(run, facts.onsetLevelNm) : refusedWithoutOnset(step, facts),
      };
    case 'stall':
      return { ...none, stallTorqueNm: run ? stallTorqueNm(run) : refusedWithoutOnset(step, facts) };
    case 'endurance':
      return {
        ...none,
        endurance: run ? endurance(run, facts.earlyStopS) : refusedWithoutOnset(step, facts),
      };
  }
}

/** Kind stall: the highest value of the measuring curve within the run window. */
export function stallTorqueNm(run: TrialRun): Measure {
  const { first, end } = runIndices(run);
  let value = Number.NEGATIVE_INFINITY;
  for (let i = first; i < end; i += 1) {
    const torqueNm = run.measuringNm[i] ?? Number.NaN;
    if (torqueNm > value) value = torqueNm;
  }
  return value === Number.NEGATIVE_INFINITY
    ? { refused: 'The measuring curve has no value in the run: too many samples are lost.' }
    : { value };
}

function refusedWithoutOnset({ kind }: Step, { measuringNm, nominalRateHz }: KindFacts): { refused: string } {
  if (measuringNm === null) {
    return {
      refused:
        `There is no measuring curve under ${formatRate(MIN_MEASURING_RATE_HZ)}; ` +
        `this trial has ${formatRate(nominalRateHz)}.`,
    };
  }
  return {
    refused:
      kind === 'breakaway'
        ? 'The torque never left what stood before by more than the onset level, so there is no time to measure from.'
        : 'No onset was found, so there is no time to measure from.',
  };
}
