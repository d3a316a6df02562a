import {
  createTorqueConverter,
  senseForDirection,
  type TorqueConverter,
} from '../calibration/apply-calibration.ts';
import type { CalibrationVersion } from '../calibration/calibration-model.ts';
import { formatRate } from '../format-quantity.ts';
import { measuringCurve, measuringWindowSamples, MIN_MEASURING_RATE_HZ } from '../signal/measuring-curve.ts';
import type { SlotRange } from '../signal/sample-block.ts';
import { assessQuality, overloadLimitNm } from './assess-quality.ts';
import { findEarlyStopS } from './find-early-stop.ts';
import { findOnset } from './find-onset.ts';
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
import type { FaultEvent, Measure, Quality, TrialConditions, TrialFigures } from './trial-model.ts';
import {
  directionSign,
  recordedAfterOnsetS,
  runIndices,
  type IndexRange,
  type TrialRun,
} from './trial-run.ts';

/** Version of the definitions of all measures and curves; stored with every set of figures. */
export const DEFINITION_VERSION = 1;

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
    measuringNm === null ? null : findOnset(measuringNm, conditions.onsetLevelNm, nominalRateHz);
  const run =
    measuringNm === null || onsetIndex === null
      ? null
      : { rawNm, measuringNm, onsetIndex, plannedS: step.plannedS, nominalRateHz, sampleRateHz };
  const measures = run === null ? refuseAll(input) : measureRun(run, input);
  return {
    definitionVersion: DEFINITION_VERSION,
    calibrationId: input.calibration.id,
    sampleRateHz,
    windowS: windowSamples === null ? 0 : windowSamples / nominalRateHz,
    onsetLevelNm: conditions.onsetLevelNm,
    onsetS: onsetIndex === null ? null : onsetIndex / sampleRateHz,
    ...measures,
    ...notMeasuredYet,
    quality: judge(input, converter, rawNm, run, measures.sustainedTorqueNm),
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
  stallTorqueNm: null,
  breakaway: null,
  endurance: null,
  triggerS: null,
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

function judge(
  input: TrialEvaluationInput,
  converter: TorqueConverter,
  rawNm: Float64Array,
  run: TrialRun | null,
  sustained: Measure,
): Quality {
  const { calibration, conditions, step, zeroAfterCounts } = input;
  const { transducer, profile } = conditions;
  const record = { first: 0, end: rawNm.length };
  const runRange = run === null ? record : runIndices(run);
  const readings = extremes(rawNm, record);
  const runReadings = extremes(rawNm, runRange);

  return assessQuality({
    nominalRateHz: profile.nominalRateHz,
    sampleRateHz: input.sampleRateHz,
    onsetLevelNm: conditions.onsetLevelNm,
    hasOnset: run !== null,
    plannedS: step.plannedS,
    recordedS: run === null ? 0 : recordedAfterOnsetS(run),
    slotsInRun: runRange.end - runRange.first,
    lostSlotsInRun: countLost(rawNm, runRange),
    railSamples: countAtRails(input.counts, profile.converterBits),
    zeroShiftNm: zeroAfterCounts === null ? null : Math.abs(converter.toTorqueNm(zeroAfterCounts)),
    capacityNm: transducer.capacityNm,
    overloadLimitNm: overloadLimitNm(transducer),
    largestReadingNm: Math.max(-readings.least, readings.greatest),
    beyondCalibrationNm: farthestOutside(runReadings, converter, directionSign(step.direction)),
    calibrationDoubts: input.calibrationDoubts,
    isSenseCalibrated: calibration[senseForDirection(step.direction, transducer.senseSign)] !== null,
    earlyStopS: run === null || 'refused' in sustained ? null : findEarlyStopS(run, sustained.value),
    // What happened while the transducer was unloaded says nothing of the samples.
    faults: input.faults.filter(({ atS }) => atS === null || atS <= rawNm.length / input.sampleRateHz),
  });
}

interface Extremes {
  readonly least: number;
  readonly greatest: number;
}

/** Of the two extremes the one of larger magnitude that lies outside the calibrated range; null where both lie inside. */
function farthestOutside(
  { least, greatest }: Extremes,
  converter: TorqueConverter,
  sign: 1 | -1,
): number | null {
  const outside = [least, greatest].filter((value) => converter.isOutsideRange(sign * value));
  return outside.toSorted((a, b) => Math.abs(b) - Math.abs(a))[0] ?? null;
}

/** Least and greatest value of a range, NaN left out; 0 for both where it has none. */
function extremes(values: Float64Array, { first, end }: IndexRange): Extremes {
  let least = Number.POSITIVE_INFINITY;
  let greatest = Number.NEGATIVE_INFINITY;
  for (let i = first; i < end; i += 1) {
    const value = values[i] ?? Number.NaN;
    if (value < least) least = value;
    if (value > greatest) greatest = value;
  }
  return least > greatest ? { least: 0, greatest: 0 } : { least, greatest };
}

function countLost(rawNm: Float64Array, { first, end }: IndexRange): number {
  let lost = 0;
  for (let i = first; i < end; i += 1) if (Number.isNaN(rawNm[i])) lost += 1;
  return lost;
}

/** A two's complement converter of N bits ends at -2^(N-1) and 2^(N-1) - 1. */
function countAtRails(counts: Int32Array, converterBits: number): number {
  const upperRail = 2 ** (converterBits - 1) - 1;
  const lowerRail = -upperRail - 1;
  let atRails = 0;
  for (const count of counts) if (count >= upperRail || count <= lowerRail) atRails += 1;
  return atRails;
}
