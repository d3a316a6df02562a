import { estimateDayToDay, type KnownDayToDay } from '../../shared-lib/comparison/day-to-day.ts';
import type { TrialMeasure } from '../../shared-lib/comparison/trial-measure.ts';
import { scoreOf, type StoredScore } from '../storage/scored-trials.ts';

/**
 * How the mean of a setup moves from day to day in ln(measure), from counting trials of one step and bench, of whatever session;
 * null where it is not known. Stored values, at whatever onset level: where that moved, it is part of what days differ by.
 */
export function dayToDayOf(scores: readonly StoredScore[], measure: TrialMeasure): KnownDayToDay | null {
  return estimateDayToDay(
    scores.map((score) => ({
      contenderKey: score.key,
      sessionId: score.sessionId,
      isReference: score.role === 'reference',
      value: score.state === 'kept' ? scoreOf(score, measure) : null,
      leftOutBecause: null,
    })),
  );
}
