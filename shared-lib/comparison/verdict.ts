import type { Verdict } from './comparison-model.ts';

export interface Limits {
  readonly low: number;
  readonly high: number;
}

/**
 * What a difference of ln(measure), better for A where it is positive, says of A against B: the first rule that matches.
 *
 * `interval` 95 % and `levelInterval` 90 % (97.5 and 95 % where an early look was planned); null: nothing is known of scatter.
 * `margin`: ln(1 + m). Where part of what the two differ by is unknown (days, scales), neither a level nor a lead by the margin can be
 * claimed.
 */
export function judge(question: {
  readonly interval: Limits | null;
  readonly levelInterval: Limits | null;
  readonly margin: number;
  readonly isPartUnknown: boolean;
}): Verdict {
  const { interval, levelInterval, margin, isPartUnknown } = question;
  if (interval === null || levelInterval === null) return 'needsMoreRuns';
  if (!isPartUnknown) {
    if (interval.low > margin) return 'aheadByMargin';
    if (interval.high < -margin) return 'behindByMargin';
    if (levelInterval.low > -margin && levelInterval.high < margin) return 'level';
  }
  if (interval.low > 0) return 'ahead';
  if (interval.high < 0) return 'behind';
  return 'tooCloseToCall';
}
