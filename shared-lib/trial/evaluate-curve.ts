import { formatRate } from '../format-quantity.ts';
import { measuringCurve, measuringWindowSamples, MIN_MEASURING_RATE_HZ } from '../signal/measuring-curve.ts';
import { blowRateHz } from './blow-rate.ts';
import { findEarlyStopOfStep } from './find-early-stop.ts';
import { findOnsetOfStep } from './find-onset.ts';
import { impulseNms } from './impulse.ts';
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
import type { Refusal } from './refuse-measure.ts';
import { riseModel, riseNmPerS } from './rise.ts';
import { stillClimbing } from './still-climbing.ts';
import type { Step } from './step-model.ts';
import type { Measure, TrialFigures } from './trial-model.ts';
import { recordedAfterOnsetS, type TrialRun } from './trial-run.ts';

export interface CurveToEvaluate {
  /** Raw calibrated samples of the whole record, positive in the direction of the step; NaN: lost. */
  readonly rawNm: Float64Array;
  /** Rules windows and holds. */
  readonly nominalRateHz: number;
  /** Rules the time axis. */
  readonly sampleRateHz: number;
  readonly step: Step;
  readonly onsetLevelNm: number;
  readonly levelsNm: readonly number[];
  /** Null: not known. */
  readonly antiAliasBandwidthHz: number | null;
  /** Another length of the measuring curve's window than the definition's, for a what-if. */
  readonly windowS?: number | undefined;
}

export interface EvaluatedCurve {
  /** Null without an onset, or under 36 Sa/s. */
  readonly run: TrialRun | null;
  /** After onset; null where the torque stayed. */
  readonly earlyStopS: number | null;
  readonly figures: Omit<TrialFigures, 'definitionVersion' | 'calibrationId' | 'quality'>;
}

/** All measures of a curve. What it cannot carry is refused measure by measure. */
export function evaluateCurve(curve: CurveToEvaluate): EvaluatedCurve {
  const { rawNm, nominalRateHz, sampleRateHz, step, onsetLevelNm } = curve;
  const windowSamples = measuringWindowSamples(nominalRateHz, curve.windowS);
  const measuringNm = windowSamples === null ? null : measuringCurve(rawNm, windowSamples);
  const onsetIndex =
    measuringNm === null ? null : findOnsetOfStep(measuringNm, step, onsetLevelNm, nominalRateHz);
  const { plannedS } = step;
  const run =
    measuringNm === null || windowSamples === null || onsetIndex === null
      ? null
      : { rawNm, measuringNm, windowSamples, onsetIndex, plannedS, nominalRateHz, sampleRateHz };
  const sustained = run === null ? refusalOfAll(nominalRateHz) : sustainedOfStep(run, step);
  const earlyStopS = run === null ? null : findEarlyStopOfStep(run, step, sustained);
  return {
    run,
    earlyStopS,
    figures: {
      sampleRateHz,
      windowS: windowSamples === null ? 0 : windowSamples / nominalRateHz,
      onsetLevelNm,
      onsetS: onsetIndex === null ? null : onsetIndex / sampleRateHz,
      sustainedTorqueNm: sustained,
      ...(run === null
        ? refuseAll(curve, refusalOfAll(nominalRateHz))
        : measureRun(run, curve, { sustained, earlyStopS })),
      ...kindMeasures(run, step, {
        rawNm,
        measuringNm,
        nominalRateHz,
        sampleRateHz,
        onsetLevelNm,
        sustained,
        earlyStopS,
      }),
      triggerS: run === null ? null : (earlyStopS ?? Math.min(plannedS, recordedAfterOnsetS(run))),
    },
  };
}

type Measures = Pick<
  TrialFigures,
  | 'finalTorqueNm'
  | 'torqueAt'
  | 'timeToLevel'
  | 'timeTo90PercentS'
  | 'highestReadingNm'
  | 'stillClimbingPercentPerS'
  | 'levelledOffSinceS'
  | 'impulseNms'
  | 'riseNmPerS'
  | 'riseModel'
  | 'blowRateHz'
>;

function measureRun(
  run: TrialRun,
  { levelsNm, antiAliasBandwidthHz }: CurveToEvaluate,
  { sustained, earlyStopS }: { readonly sustained: Measure; readonly earlyStopS: number | null },
): Measures {
  const climbing = stillClimbing(run, sustained, earlyStopS);
  return {
    finalTorqueNm: finalTorqueNm(run),
    torqueAt: plannedCheckpointsS(run.plannedS).map((atS) => ({ atS, torqueNm: torqueAtNm(run, atS) })),
    timeToLevel: levelsNm.map((levelNm) => ({ levelNm, timeS: timeToLevelS(run, levelNm) })),
    timeTo90PercentS: timeTo90PercentS(run, sustained),
    highestReadingNm: highestReadingNm(run),
    stillClimbingPercentPerS: climbing.percentPerS,
    levelledOffSinceS: climbing.levelledOffSinceS,
    impulseNms: impulseNms(run),
    riseNmPerS: riseNmPerS(run),
    riseModel: riseModel(run, earlyStopS),
    blowRateHz: blowRateHz(run, antiAliasBandwidthHz, earlyStopS),
  };
}

/** What stands before a breakaway goes against the step, and its release is no torque that the tool held. */
function sustainedOfStep(run: TrialRun, { kind }: Step): Measure {
  return kind === 'breakaway'
    ? { refused: 'A breakaway is about the preload that is released, and holds no torque of its own.' }
    : sustainedTorqueNm(run);
}

function refusalOfAll(nominalRateHz: number): Refusal {
  return {
    refused: !(nominalRateHz >= MIN_MEASURING_RATE_HZ)
      ? `There is no measuring curve under ${formatRate(MIN_MEASURING_RATE_HZ)}; this trial has ${formatRate(nominalRateHz)}.`
      : 'No onset was found, so there is no time to measure from.',
  };
}

function refuseAll({ step, levelsNm }: CurveToEvaluate, refusal: Refusal): Measures {
  return {
    finalTorqueNm: refusal,
    torqueAt: plannedCheckpointsS(step.plannedS).map((atS) => ({ atS, torqueNm: refusal })),
    timeToLevel: levelsNm.map((levelNm) => ({ levelNm, timeS: null })),
    timeTo90PercentS: refusal,
    highestReadingNm: refusal,
    stillClimbingPercentPerS: refusal,
    levelledOffSinceS: null,
    impulseNms: refusal,
    riseNmPerS: refusal,
    riseModel: refusal,
    blowRateHz: refusal,
  };
}

function plannedCheckpointsS(plannedS: number): number[] {
  return CHECKPOINTS_S.filter((atS) => atS <= plannedS);
}
