import { sumOf } from './sums.ts';

/** By which calibration each trial is read, and how surely that has its scale. */
export interface TrialScales {
  readonly calibrationOf: (trialId: string) => string;
  /** Relative standard uncertainty; null: it states none. */
  readonly uncertaintyOf: (calibrationId: string) => number | null;
}

/** What the scales of calibrations bring into a difference of ln(torque). */
export interface ScaleDifference {
  /** Of calibrations that state an uncertainty. */
  readonly variance: number;
  /** Whether one that does not cancel states none. */
  readonly isUnknown: boolean;
  /** By how many the trials are read. */
  readonly calibrationCount: number;
}

/** Of what does not scale with the torque, or is read by one calibration alone. */
export const scalesCancel: ScaleDifference = { variance: 0, isUnknown: false, calibrationCount: 1 };

export function doScalesCancel({ variance, isUnknown }: ScaleDifference): boolean {
  return variance === 0 && !isUnknown;
}

/**
 * Sum over the calibrations of (share of A's trials - share of B's)^2 times their squared uncertainty: an error of scale that both
 * have alike cancels. Those of two calibrations count as independent (GUM 5.1.2), since nobody states what they have in common; where
 * weights or arm were the same, that is more than there is.
 *
 * `a`, `b`: the trials of either that the difference is taken from.
 */
export function scaleDifference(
  a: readonly string[],
  b: readonly string[],
  { calibrationOf, uncertaintyOf }: TrialScales,
): ScaleDifference {
  const [ofA, ofB] = [a.map(calibrationOf), b.map(calibrationOf)];
  const calibrationIds = [...new Set([...ofA, ...ofB])];
  const apart = calibrationIds
    .map((id) => ({ apart: shareOf(id, ofA) - shareOf(id, ofB), uncertainty: uncertaintyOf(id) }))
    .filter((one) => Math.abs(one.apart) > ROUNDING);
  return {
    variance: sumOf(apart.map((one) => (one.apart * (one.uncertainty ?? 0)) ** 2)),
    isUnknown: apart.some(({ uncertainty }) => uncertainty === null),
    calibrationCount: calibrationIds.length,
  };
}

function shareOf(id: string, all: readonly string[]): number {
  return all.filter((one) => one === id).length / all.length;
}

const ROUNDING = 1e-9;
