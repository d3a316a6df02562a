import type { Step } from './step-model.ts';
import type { Measure, TrialFigures } from './trial-model.ts';
import type { TrialRun } from './trial-run.ts';

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

/** The measures that only trials of one kind have; null for those of other kinds. `run` null: there is no onset. */
export function kindMeasures(
  _run: TrialRun | null,
  _step: Step,
  _facts: KindFacts,
): Pick<TrialFigures, 'stallTorqueNm' | 'breakaway' | 'endurance'> {
  return { stallTorqueNm: null, breakaway: null, endurance: null };
}
