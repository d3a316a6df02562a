import type { ComparedTrial } from './comparison-model.ts';
import { groupBy, observe, ownTrials } from './observations.ts';
import { meanOf, squaresAboutMean, sumOf } from './sums.ts';

export interface KnownDayToDay {
  /** Of ln(measure). */
  readonly standardDeviation: number;
  readonly degreesOfFreedom: number;
}

const FEWEST_DAYS = 3;

/**
 * How much the mean of one setup moves from day to day, from all setups with counting trials in at least three sessions, which
 * are taken for days. Null without one.
 */
export function estimateDayToDay(trials: readonly ComparedTrial[]): KnownDayToDay | null {
  const repeated = [...groupBy(observe(ownTrials(trials)), ({ key }) => key).values()]
    .map((own) =>
      [...groupBy(own, ({ sessionId }) => sessionId)].map(([sessionId, day]) => ({
        sessionId,
        mean: meanOf(day.map(({ ln }) => ln)),
      })),
    )
    .filter((days) => days.length >= FEWEST_DAYS);
  if (repeated.length === 0) return null;
  const squares = sumOf(repeated.map((days) => squaresAboutMean(days.map(({ mean }) => mean))));
  const comparisons = sumOf(repeated.map((days) => days.length - 1));
  return {
    standardDeviation: Math.sqrt(squares / comparisons),
    degreesOfFreedom: independentDays(repeated.map((days) => days.map(({ sessionId }) => sessionId))),
  };
}

/** What a day does to the bench it does to all setups: those pulled on the same days do not know it better than one. */
function independentDays(sessionsOfSetups: readonly (readonly string[])[]): number {
  let groups: Set<string>[] = [];
  for (const sessions of sessionsOfSetups) {
    const joined = groups.filter((group) => sessions.some((session) => group.has(session)));
    groups = [
      ...groups.filter((group) => !joined.includes(group)),
      new Set([...sessions, ...joined.flatMap((group) => [...group])]),
    ];
  }
  return sumOf(groups.map(({ size }) => size - 1));
}
