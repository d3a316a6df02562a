import type { QualityGate } from '../run-sheet/session-model.ts';
import type { ChosenTrials } from './choose-trials.ts';
import { type DayRule, estimateDayToDay, type KnownDayToDay } from './day-to-day.ts';
import { benchKey } from './like-for-like.ts';
import { type PulledTrial, whyLeftOut } from './pulled-trial.ts';

/**
 * How the mean of a setup moves from day to day in ln(measure), from counting trials of one step and bench, of whatever session;
 * null where it is not known. Stored values, at whatever onset level: where that moved, it is part of what days differ by.
 */
export function dayToDayOf<Trial extends PulledTrial>(
  trials: readonly Trial[],
  valueOf: (trial: Trial) => number | null,
  rule?: DayRule,
): KnownDayToDay | null {
  return estimateDayToDay(
    trials.map((trial) => ({
      contenderKey: trial.key,
      sessionId: trial.sessionId,
      startedAt: trial.startedAt,
      isReference: trial.role === 'reference',
      value: trial.state === 'kept' ? valueOf(trial) : null,
      leftOutBecause: null,
    })),
    rule,
  );
}

/**
 * The same for two that are compared, from all trials of the step on their bench: whoever was pulled, it shows what a day does.
 * Null within one session, where days do not come in, and for two benches, of which neither says what the other's days do.
 */
export function dayToDayOfPair<Trial extends PulledTrial>(
  trials: readonly Trial[],
  { a, b, sessionIds }: ChosenTrials<Trial>,
  gate: QualityGate,
  valueOf: (trial: Trial) => number | null,
  rule?: DayRule,
): KnownDayToDay | null {
  if (sessionIds.length === 1) return null;
  const benches = new Set([...a, ...b].map(benchKey));
  if (benches.size !== 1) return null;
  return dayToDayOf(
    trials.filter((trial) => benches.has(benchKey(trial)) && whyLeftOut(trial, gate) === null),
    valueOf,
    rule,
  );
}
