import type { Distributions } from '../calibration/distributions.ts';
import type { Checkpoint, ComparedTrial, Ratio } from './comparison-model.ts';
import type { KnownDayToDay } from './day-to-day.ts';
import { estimateDifference } from './estimate-difference.ts';
import { observe } from './observations.ts';
import type { TrialScales } from './scale-difference.ts';
import { intervalOf } from './welch.ts';

/** Torque of each trial at one instant of the pull. */
export interface TorquesAtInstant {
  readonly atS: number;
  /** Of the torque at this instant: early in a pull days move it by other amounts than what is held at its end. */
  readonly dayToDay: KnownDayToDay | null;
  readonly trials: readonly { readonly trialId: string; readonly valueNm: number | null }[];
}

export interface CheckpointAnswer {
  readonly checkpoints: Checkpoint[];
  readonly leadStartsAtS: number | null;
}

/**
 * The ratio of torques at each checkpoint, with intervals that hold all at once (Bonferroni): of K each with
 * 1 - (1 - confidence) / K. The lead starts at the first from which on all leave out 1 on the same side.
 *
 * `trials`: those of which the torques are taken. Across sessions with an unknown day-to-day scatter nothing is clear, nor across
 * calibrations of which one states no uncertainty.
 */
export function compareCheckpoints(
  question: {
    readonly a: string;
    readonly b: string;
    readonly trials: readonly ComparedTrial[];
    readonly checkpoints: readonly TorquesAtInstant[];
    readonly confidence: number;
    /** None: all are read by one calibration. */
    readonly torqueScales?: TrialScales | null;
  },
  distributions: Distributions,
): CheckpointAnswer {
  const { a, b, trials, checkpoints, confidence, torqueScales } = question;
  const each = 1 - (1 - confidence) / checkpoints.length;
  const inOrder = checkpoints.toSorted((one, other) => one.atS - other.atS);
  const found = inOrder.map(({ atS, dayToDay, trials: torques }): Checkpoint => {
    const torqueOf = new Map(torques.map(({ trialId, valueNm }) => [trialId, valueNm]));
    const observations = observe(
      trials.map((trial) => ({ ...trial, value: torqueOf.get(trial.trialId) ?? null })),
    );
    const estimate = estimateDifference(observations, a, b, dayToDay, distributions, torqueScales);
    if (estimate?.test == null) return { atS, ratio: null, isClear: false };
    const interval = intervalOf(estimate.test, each, distributions);
    return {
      atS,
      ratio: ratioOf(estimate.test.difference, interval),
      isClear:
        !estimate.isDayToDayUnknown && !estimate.scale.isUnknown && (interval.low > 0 || interval.high < 0),
      ...(estimate.dayShare > 0 ? { dayToDay } : {}),
    };
  });
  return { checkpoints: found, leadStartsAtS: leadStart(found) };
}

function leadStart(checkpoints: readonly Checkpoint[]): number | null {
  const last = checkpoints.at(-1);
  if (last?.ratio == null) return null;
  const isUp = last.ratio.ratio > 1;
  const firstOfLead =
    checkpoints.findLastIndex(({ isClear, ratio }) => !isClear || (ratio?.ratio ?? 1) > 1 !== isUp) + 1;
  return checkpoints[firstOfLead]?.atS ?? null;
}

/** From differences of ln(measure). */
export function ratioOf(
  difference: number,
  { low, high }: { readonly low: number; readonly high: number },
): Ratio {
  return { ratio: Math.exp(difference), low: Math.exp(low), high: Math.exp(high) };
}
