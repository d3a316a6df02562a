import { estimateDayToDay, type KnownDayToDay } from '../../shared-lib/comparison/day-to-day.ts';
import type { TrialMeasure } from '../../shared-lib/comparison/trial-measure.ts';
import { scoreOf, type StoredScore } from '../storage/scored-trials.ts';
import { toComparedTrial } from './compared-trial.ts';

/**
 * How the mean of a setup moves from day to day in ln(measure), from counting trials of one step and bench, of whatever session;
 * null where it is not known. Stored values, at whatever onset level: where that moved, it is part of what days differ by.
 */
export function dayToDayOf(scores: readonly StoredScore[], measure: TrialMeasure): KnownDayToDay | null {
  return estimateDayToDay(scores.map((score) => toComparedTrial(score, scoreOf(score, measure), null)));
}
