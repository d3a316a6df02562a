import { measuringCurve, measuringWindowSamples } from '../../signal/measuring-curve.ts';
import { findOnsetOfStep } from '../../trial/find-onset.ts';
import { onsetLevelOfRecord } from '../../trial/onset-level-of-record.ts';
import { type Direction, plannedTimeSchema, type Step } from '../../trial/step-model.ts';
import type { ReadCurve } from './read-curves.ts';

/** What a curve needs to be a trial and a file does not say. */
export interface CurveTrial {
  /** -1 where the file has a reverse torque as positive numbers. */
  readonly senseSign: 1 | -1;
  readonly onsetLevelNm: number;
  /** Standard deviation of the measuring curve before the torque begins; 0 where there is too little of it. */
  readonly noiseNm: number;
  /** In slots from the first one. */
  readonly onsetSlot: number;
  readonly plannedS: number;
  /** Greatest magnitude. */
  readonly largestNm: number;
  /** Time counts from the first sample then. */
  readonly beginsUnderTorque: boolean;
}

/** Ours: what a pull is planned for is no odd figure. */
const PLANNED_STEP_S = 0.5;

/** Torque as the file has it; NaN: lost. */
export function torqueOfCurve({ counts, gaps, gainNmPerCount }: ReadCurve): Float64Array {
  const torqueNm = Float64Array.from(counts, (count) => count * gainNmPerCount);
  for (const { offset, length } of gaps) torqueNm.fill(Number.NaN, offset, offset + length);
  return torqueNm;
}

/**
 * Onset, its level and the time of a curve, found as the program finds them of its own records; or why it makes no trial.
 *
 * `plannedS` null: as long as the record goes on after onset, down to a half second.
 */
export function curveAsTrial(
  curve: ReadCurve,
  step: Pick<Step, 'kind' | 'direction'> & { readonly plannedS: number | null },
): CurveTrial | { readonly problem: string } {
  const torqueNm = torqueOfCurve(curve);
  const { nominalRateHz, sampleRateHz, label } = curve;
  const windowSamples = measuringWindowSamples(nominalRateHz);
  if (windowSamples === null) return { problem: `The column “${label}” has too few samples a second.` };
  const sign = signOf(measuringCurve(torqueNm, windowSamples));
  const senseSign = senseSignFor(step.direction, sign);
  if (senseSign === null) {
    return {
      problem: `The torque of “${label}” is negative, and forward is positive. Choose reverse if it was a reverse pull, or turn the signs in the file.`,
    };
  }
  const rawNm = torqueNm.map((value) => sign * value);
  const level = onsetLevelOfRecord(rawNm, nominalRateHz, null);
  const measuringNm = measuringCurve(rawNm, windowSamples);
  const onsetSlot =
    level === null
      ? null
      : findOnsetOfStep(measuringNm, { ...step, toolName: label, plannedS: 1 }, level.levelNm, nominalRateHz);
  if (level === null || onsetSlot === null) {
    return { problem: `In “${label}” no torque begins and holds, so there is nothing to measure from.` };
  }
  const afterOnsetS = (rawNm.length - 1 - onsetSlot) / sampleRateHz;
  const plannedS = step.plannedS ?? Math.floor(afterOnsetS / PLANNED_STEP_S) * PLANNED_STEP_S;
  if (!plannedTimeSchema.safeParse(plannedS).success) {
    return {
      problem: `“${label}” goes on for ${afterOnsetS.toFixed(2)} s after its onset; a pull has at least ${PLANNED_STEP_S} s and at most an hour.`,
    };
  }
  return {
    senseSign,
    onsetLevelNm: level.levelNm,
    noiseNm: level.noiseNm ?? 0,
    onsetSlot,
    plannedS,
    largestNm: rawNm.reduce((largest, value) => (Math.abs(value) > largest ? Math.abs(value) : largest), 0),
    beginsUnderTorque: (measuringNm.find((value) => !Number.isNaN(value)) ?? 0) > level.levelNm,
  };
}

/** That of the larger excursion of the measuring curve, which a single spike does not turn. */
function signOf(measuringNm: Float64Array): 1 | -1 {
  let [least, greatest] = [0, 0];
  for (const value of measuringNm) {
    if (value < least) least = value;
    if (value > greatest) greatest = value;
  }
  return -least > greatest ? -1 : 1;
}

function senseSignFor(direction: Direction, sign: 1 | -1): 1 | -1 | null {
  if (direction === 'reverse') return sign === 1 ? -1 : 1;
  return sign === 1 ? 1 : null;
}
