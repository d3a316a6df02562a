import { meanOfPresent } from '../signal/mean-of-present.ts';
import { createHeldCrossing, crossingHoldSamples } from './held-crossing.ts';
import type { Step } from './step-model.ts';

/** The record begins a second before onset; its first half is clear of the measuring window and of a slow start (ours). */
const STANDING_S = 0.5;
/** A preload of fewer onset levels is not told from what drifts and settles (ours). */
const LEAST_PRELOAD_LEVELS = 3;

/**
 * Onset: the first instant at which the measuring curve exceeds the level and holds it for max(100 ms, 5 samples),
 * interpolated between samples. It is the trial's time 0. A torque that appears as a step reads up to half a measuring window early.
 *
 * Shape: `measuringNm` positive in the direction of the step. Returns the position in samples from the curve's first
 * one, with fractions, or null where the level was not exceeded and held.
 */
export function findOnset(measuringNm: Float64Array, levelNm: number, nominalRateHz: number): number | null {
  const crossing = createHeldCrossing({
    levelNm,
    holdSamples: crossingHoldSamples(nominalRateHz),
    mode: 'above',
  });
  for (let i = 0; i < measuringNm.length; i += 1) {
    const onset = crossing.push(i, measuringNm[i] ?? Number.NaN);
    if (onset !== null) return onset;
  }
  return null;
}

/** The level of onset: 1 % of the transducer's capacity, or five times the noise of the measuring curve where that is more. */
export function onsetLevelNm(capacityNm: number, noiseNm: number): number {
  return Math.max(0.01 * capacityNm, 5 * noiseNm);
}

/** What a stored preload must come to at least, so that its release can be seen: three times the level of onset. */
export function leastPreloadNm(levelNm: number): number {
  return LEAST_PRELOAD_LEVELS * levelNm;
}

/**
 * The torque that stands as a record begins: the mean of the measuring curve over the record's first half second. Null
 * where less than half of it is there.
 */
export function standingTorqueNm(measuringNm: Float64Array, nominalRateHz: number): number | null {
  const sampleCount = Math.round(STANDING_S * nominalRateHz);
  const present = measuringNm.subarray(0, sampleCount).filter((value) => !Number.isNaN(value));
  return 2 * present.length < sampleCount ? null : meanOfPresent(present);
}

/**
 * Onset of a pull as its step has it. That of a breakaway is where the measuring curve leaves the standing torque by more
 * than the level in the direction of the step, and holds that; null too where no standing torque is known.
 */
export function findOnsetOfStep(
  measuringNm: Float64Array,
  step: Step,
  levelNm: number,
  nominalRateHz: number,
): number | null {
  if (step.kind !== 'breakaway') return findOnset(measuringNm, levelNm, nominalRateHz);
  const standingNm = standingTorqueNm(measuringNm, nominalRateHz);
  return standingNm === null ? null : findOnset(measuringNm, standingNm + levelNm, nominalRateHz);
}
