import { createTorqueConverter } from '../calibration/apply-calibration.ts';
import type { CalibrationVersion } from '../calibration/calibration-model.ts';
import { formatRate } from '../format-quantity.ts';
import { measuringCurve, measuringWindowSamples, MIN_MEASURING_RATE_HZ } from '../signal/measuring-curve.ts';
import type { SlotRange } from '../signal/sample-block.ts';
import { findEarlyStopOfStep } from './find-early-stop.ts';
import { findOnsetOfStep } from './find-onset.ts';
import { judgeTrial } from './judge-trial.ts';
import { kindMeasures } from './kind-measures.ts';
import {
  CHECKPOINTS_S,
  finalTorqueNm,
  highestReadingNm,
  sustainedTorqueNm,
  timeTo90PercentS,
  timeToLevelS,
  torqueAtNm,
} from './measures.ts';
import type { Step } from './step-model.ts';
import type { FaultEvent, Measure, TrialConditions, TrialFigures } from './trial-model.ts';
import { directionSign, recordedAfterOnsetS, type TrialRun } from './trial-run.ts';

/**
 * Version of the definitions of all measures and curves; stored with every set of figures.
 *
 * 1: onset, sustained, final and highest torque, torque at times, times to levels. 2: these as they were; new are still
 * climbing, impulse, rise, rise model, blow rate, the time the tool pulled, standard errors, and what only stall, breakaway
 * and endurance have. A breakaway has an onset of its own.
 */
export const DEFINITION_VERSION = 2;

export interface TrialEvaluationInput {
  /** The whole record: from about 1 s before onset to about 1 s after the planned time. Slots named by a gap hold 0. */
  readonly counts: Int32Array;
  readonly gaps: readonly SlotRange[];
  /** Fitted; it rules the time axis, the nominal rate of the profile rules windows and holds. */
  readonly sampleRateHz: number;
  readonly conditions: TrialConditions;
  readonly calibration: CalibrationVersion;
  /** Why it no longer held when the trial began, in sentences; empty: it held. */
  readonly calibrationDoubts: readonly string[];
  readonly step: Step;
  readonly levelsNm: readonly number[];
  /** Null where zero was not measured after the trial. */
  readonly zeroAfterCounts: number | null;
  readonly faults: readonly FaultEvent[];
  /** Another length of the measuring curve's window than the definition's, for a what-if. */
  readonly windowS?: number | undefined;
}

/**
 * All figures of a trial, from its raw counts. The same input always gives the same figures.
 *
 * Errors: AppError 'calibration-missing' where the calibration has no sense at all. What the curve cannot carry is refused
 * measure by measure.
 */
export function evaluateTrial(input: TrialEvaluationInput): TrialFigures {
  const { conditions, step, sampleRateHz } = input;
  const { nominalRateHz } = conditions.profile;
  if (!(sampleRateHz > 0)) throw new RangeError(`A record has no times at ${sampleRateHz} Sa/s.`);
  const converter = createTorqueConverter({
    calibration: input.calibration,
    zeroCounts: conditions.zeroCounts,
    senseSign: conditions.transducer.senseSign,
  });
  const rawNm = converter
    .convertBlock(input.counts, input.gaps)
    .map((value) => directionSign(step.direction) * value);
  const windowSamples = measuringWindowSamples(nominalRateHz, input.windowS);
  const measuringNm = windowSamples === null ? null : measuringCurve(rawNm, windowSamples);
  const onsetIndex =
    measuringNm === null ? null : findOnsetOfStep(measuringNm, step, conditions.onsetLevelNm, nominalRateHz);
  const run =
    measuringNm === null || onsetIndex === null
      ? null
      : { rawNm, measuringNm, onsetIndex, plannedS: step.plannedS, nominalRateHz, sampleRateHz };
  const measures = run === null ? refuseAll(input) : measureRun(run, input);
  const { sustainedTorqueNm: sustained } = measures;
  const earlyStopS = run === null ? null : findEarlyStopOfStep(run, step, sustained);
  const { onsetLevelNm } = conditions;
  return {
    definitionVersion: DEFINITION_VERSION,
    calibrationId: input.calibration.id,
    sampleRateHz,
    windowS: windowSamples === null ? 0 : windowSamples / nominalRateHz,
    onsetLevelNm,
    onsetS: onsetIndex === null ? null : onsetIndex / sampleRateHz,
    ...measures,
    ...notMeasuredYet,
    ...kindMeasures(run, step, {
      rawNm,
      measuringNm,
      nominalRateHz,
      sampleRateHz,
      onsetLevelNm,
      sustained,
      earlyStopS,
    }),
    triggerS: run === null ? null : (earlyStopS ?? Math.min(step.plannedS, recordedAfterOnsetS(run))),
    quality: judgeTrial(input, { converter, rawNm, run, earlyStopS }),
  };
}

const notMeasured = { refused: 'Not measured yet.' };
const notMeasuredYet = {
  stillClimbingPercentPerS: notMeasured,
  levelledOffSinceS: null,
  impulseNms: notMeasured,
  riseNmPerS: notMeasured,
  riseModel: notMeasured,
  blowRateHz: notMeasured,
};

type Measures = Pick<
  TrialFigures,
  'sustainedTorqueNm' | 'finalTorqueNm' | 'torqueAt' | 'timeToLevel' | 'timeTo90PercentS' | 'highestReadingNm'
>;

function measureRun(run: TrialRun, { levelsNm }: TrialEvaluationInput): Measures {
  const sustained = sustainedTorqueNm(run);
  return {
    sustainedTorqueNm: sustained,
    finalTorqueNm: finalTorqueNm(run),
    torqueAt: plannedCheckpointsS(run.plannedS).map((atS) => ({ atS, torqueNm: torqueAtNm(run, atS) })),
    timeToLevel: levelsNm.map((levelNm) => ({ levelNm, timeS: timeToLevelS(run, levelNm) })),
    timeTo90PercentS: timeTo90PercentS(run, sustained),
    highestReadingNm: highestReadingNm(run),
  };
}

function refuseAll({ conditions, step, levelsNm }: TrialEvaluationInput): Measures {
  const { nominalRateHz } = conditions.profile;
  const refusal: Measure = {
    refused: !(nominalRateHz >= MIN_MEASURING_RATE_HZ)
      ? `There is no measuring curve under ${formatRate(MIN_MEASURING_RATE_HZ)}; this trial has ${formatRate(nominalRateHz)}.`
      : 'No onset was found, so there is no time to measure from.',
  };
  return {
    sustainedTorqueNm: refusal,
    finalTorqueNm: refusal,
    torqueAt: plannedCheckpointsS(step.plannedS).map((atS) => ({ atS, torqueNm: refusal })),
    timeToLevel: levelsNm.map((levelNm) => ({ levelNm, timeS: null })),
    timeTo90PercentS: refusal,
    highestReadingNm: refusal,
  };
}

function plannedCheckpointsS(plannedS: number): number[] {
  return CHECKPOINTS_S.filter((atS) => atS <= plannedS);
}
