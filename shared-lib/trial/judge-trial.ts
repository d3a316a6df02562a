import { senseForDirection, type TorqueConverter } from '../calibration/apply-calibration.ts';
import { CURVES_OF_A_FILE } from '../amplifier/amplifier-profile.ts';
import { isAtRail } from '../signal/converter-rails.ts';
import { assessQuality, overloadLimitNm } from './assess-quality.ts';
import { breakaway } from './breakaway.ts';
import { findOnset } from './find-onset.ts';
import { findStuckReading } from './find-stuck-reading.ts';
import type { Direction, Step } from './step-model.ts';
import type { TrialEvaluationInput } from './evaluate-trial.ts';
import type { Breakaway, FaultEvent, Quality } from './trial-model.ts';
import {
  directionSign,
  recordedAfterOnsetS,
  runIndices,
  type IndexRange,
  type TrialRun,
} from './trial-run.ts';

/** What was found in a trial's record, for judging it. */
export interface JudgedRecord {
  readonly converter: TorqueConverter;
  /** Positive in the direction of the step; NaN: lost. */
  readonly rawNm: Float64Array;
  /** Null without an onset. */
  readonly run: TrialRun | null;
  /** After onset; null where the torque stayed. */
  readonly earlyStopS: number | null;
}

/** The quality of a trial, by what its record and its conditions say. */
export function judgeTrial(
  input: TrialEvaluationInput,
  { converter, rawNm, run, earlyStopS }: JudgedRecord,
): Quality {
  const { calibration, conditions, step, sampleRateHz, zeroAfterCounts, liveOnsetSlot } = input;
  const { transducer, profile } = conditions;
  const record = { first: 0, end: rawNm.length };
  const runRange = run === null ? record : runIndices(run);
  const readings = extremes(rawNm, record);
  const runReadings = extremes(rawNm, runRange);
  // What happened while the transducer was unloaded says nothing of the samples.
  const faults = input.faults.filter(({ atS }) => atS === null || atS <= rawNm.length / sampleRateHz);
  // Without a number or a time in its line a sample that could not be read leaves no empty slot behind.
  const unreadable =
    conditions.clockSource === 'arrival' ? countUnreadable(faults, runRange, sampleRateHz) : 0;
  const released = run !== null && step.kind === 'breakaway' ? breakaway(run, conditions.onsetLevelNm) : null;
  const workedUntilS = releasedAtS(released) ?? earlyStopS ?? step.plannedS;

  return assessQuality({
    kind: step.kind,
    direction: step.direction,
    nominalRateHz: profile.nominalRateHz,
    sampleRateHz,
    onsetLevelNm: conditions.onsetLevelNm,
    hasOnset: run !== null,
    plannedS: step.plannedS,
    recordedS: run === null ? 0 : recordedAfterOnsetS(run),
    onsetMovedS:
      run === null || liveOnsetSlot === null ? null : (run.onsetIndex - liveOnsetSlot) / sampleRateHz,
    onsetGapS: run === null ? null : onsetGapS(run),
    slotsInRun: runRange.end - runRange.first + unreadable,
    lostSlotsInRun: countLost(rawNm, runRange) + unreadable,
    railSamples: countAtRails(input.counts, profile.converterBits),
    zeroShiftNm: zeroAfterCounts === null ? null : Math.abs(converter.toTorqueNm(zeroAfterCounts)),
    capacityNm: transducer.capacityNm,
    overloadLimitNm: overloadLimitNm(transducer),
    largestReadingNm: Math.max(-readings.least, readings.greatest),
    beyondCalibrationNm: farthestOutside(runReadings, converter, directionSign(step.direction)),
    calibrationDoubts: input.calibrationDoubts,
    isSenseCalibrated: sensesOf(step, transducer.senseSign).every((sense) => calibration[sense] !== null),
    earlyStopS,
    wrongDirectionS: run === null ? null : wrongDirectionS(run, conditions.onsetLevelNm),
    breakaway: released,
    stuckReading:
      // Torques of a file may be rounded: only counts can tell that a reading stood still.
      run === null || profile.id === CURVES_OF_A_FILE
        ? null
        : findStuckReading(run, input.counts, {
            onsetLevelNm: conditions.onsetLevelNm,
            untilS: workedUntilS,
            converterBits: profile.converterBits,
          }),
    plannedPreloadNm: step.preloadNm ?? null,
    restedS: conditions.restedS,
    plannedRestS: conditions.plannedRestS,
    faults,
  });
}

/** How long the measuring curve has no value right before onset; null where it has one there. */
export function onsetGapS({ measuringNm, onsetIndex, sampleRateHz }: TrialRun): number | null {
  const last = Math.ceil(onsetIndex) - 1;
  let first = last;
  while (first >= 0 && Number.isNaN(measuringNm[first])) first -= 1;
  return first === last ? null : (last - first) / sampleRateHz;
}

/** Null too for another kind than breakaway. */
function releasedAtS(found: Breakaway | null): number | null {
  return found === null || 'refused' in found ? null : found.releasedAtS;
}

/** Lines that could not be read, by the faults that tell of them. */
function countUnreadable(
  faults: readonly FaultEvent[],
  { first, end }: IndexRange,
  sampleRateHz: number,
): number {
  return faults
    .filter(({ kind }) => kind === 'badLine' || kind === 'badChecksum')
    .filter(({ atS }) => atS !== null && atS * sampleRateHz >= first && atS * sampleRateHz < end)
    .reduce((sum, { count }) => sum + count, 0);
}

/** The senses of the calibration that a step's torque rests on; a breakaway's goes through zero. */
export function sensesOf({ kind, direction }: Step, senseSign: 1 | -1): Direction[] {
  const own = senseForDirection(direction, senseSign);
  const other = senseForDirection(direction === 'forward' ? 'reverse' : 'forward', senseSign);
  return kind === 'breakaway' ? [own, other] : [own];
}

/** The sense that what comes of a step is read in: a breakaway comes to the preload, which stands against its step. */
export function senseOfResult(
  { kind, direction }: Pick<Step, 'kind' | 'direction'>,
  senseSign: 1 | -1,
): Direction {
  const against = direction === 'forward' ? 'reverse' : 'forward';
  return senseForDirection(kind === 'breakaway' ? against : direction, senseSign);
}

/** When the measuring curve went past the onset level against the step, within the run window, and held that. */
export function wrongDirectionS(run: TrialRun, levelNm: number): number | null {
  const { first, end } = runIndices(run);
  const against = run.measuringNm.subarray(first, end).map((value) => -value);
  const crossing = findOnset(against, levelNm, run.nominalRateHz);
  return crossing === null ? null : (first + crossing - run.onsetIndex) / run.sampleRateHz;
}

export interface Extremes {
  readonly least: number;
  readonly greatest: number;
}

/** Of the two extremes the one of larger magnitude that lies outside the calibrated range; null where both lie inside. */
export function farthestOutside(
  { least, greatest }: Extremes,
  converter: TorqueConverter,
  sign: 1 | -1,
): number | null {
  const outside = [least, greatest].filter((value) => converter.isOutsideRange(sign * value));
  return outside.toSorted((a, b) => Math.abs(b) - Math.abs(a))[0] ?? null;
}

/** Least and greatest value of a range, NaN left out; 0 for both where it has none. */
export function extremes(values: Float64Array, { first, end }: IndexRange): Extremes {
  let least = Number.POSITIVE_INFINITY;
  let greatest = Number.NEGATIVE_INFINITY;
  for (let i = first; i < end; i += 1) {
    const value = values[i] ?? Number.NaN;
    if (value < least) least = value;
    if (value > greatest) greatest = value;
  }
  return least > greatest ? { least: 0, greatest: 0 } : { least, greatest };
}

export function countLost(rawNm: Float64Array, { first, end }: IndexRange): number {
  let lost = 0;
  for (let i = first; i < end; i += 1) if (Number.isNaN(rawNm[i])) lost += 1;
  return lost;
}

/** A two's complement converter of N bits ends at -2^(N-1) and 2^(N-1) - 1. */
export function countAtRails(counts: Int32Array, converterBits: number): number {
  let atRails = 0;
  for (const count of counts) if (isAtRail(count, converterBits)) atRails += 1;
  return atRails;
}
