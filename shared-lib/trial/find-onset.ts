import { createHeldCrossing, crossingHoldSamples } from './held-crossing.ts';
import type { Step } from './step-model.ts';

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

/** Onset of a pull as its step has it. */
export function findOnsetOfStep(
  measuringNm: Float64Array,
  _step: Step,
  levelNm: number,
  nominalRateHz: number,
): number | null {
  return findOnset(measuringNm, levelNm, nominalRateHz);
}
