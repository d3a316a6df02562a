import type { ComparedTrial } from './comparison-model.ts';
import { countOf, percentText } from './comparison-words.ts';
import { hasLogarithm, takesPart } from './observations.ts';
import { meanOf, squaresAboutMean, sumOf } from './sums.ts';

export interface KnownDayToDay {
  /** Of ln(measure). */
  readonly standardDeviation: number;
  readonly degreesOfFreedom: number;
}

/** What of a trial is asked for here. */
export type TrialOfDay = Pick<
  ComparedTrial,
  'contenderKey' | 'sessionId' | 'isReference' | 'value' | 'leftOutBecause'
>;

const FEWEST_DAYS = 3;

/**
 * How much the mean of one setup moves from day to day, from all setups with counting trials in at least three sessions, which
 * are taken for days. Null without one.
 *
 * The standard deviation of the means as they are: what runs scatter is in it, divided by the runs of a day. Taken out, it
 * would leave nothing in many a case of few days, and equal tools of two days were told apart in up to 12 % of simulated
 * comparisons (combine-variances.ts).
 */
export function estimateDayToDay(trials: readonly TrialOfDay[]): KnownDayToDay | null {
  const repeated = daysOfSetups(trials).filter((days) => days.length >= FEWEST_DAYS);
  if (repeated.length === 0) return null;
  const squares = sumOf(repeated.map((days) => squaresAboutMean(days.map(({ mean }) => mean))));
  const comparisons = sumOf(repeated.map((days) => days.length - 1));
  return {
    standardDeviation: Math.sqrt(squares / comparisons),
    degreesOfFreedom: independentDays(repeated.map((days) => days.map(({ sessionId }) => sessionId))),
  };
}

/** In one pass: standings ask for it over all trials there are. */
function daysOfSetups(trials: readonly TrialOfDay[]): { sessionId: string; mean: number }[][] {
  const setups = new Map<string, Map<string, number[]>>();
  for (const trial of trials) {
    const { contenderKey, sessionId, isReference, value } = trial;
    if (!takesPart(trial) || !hasLogarithm(value)) continue;
    // A reference tool may be a setup too on one of its days: each counts by itself.
    const key = `${isReference ? 'reference' : 'setup'} ${contenderKey}`;
    const days = setups.get(key) ?? new Map<string, number[]>();
    setups.set(key, days);
    const day = days.get(sessionId);
    if (day === undefined) days.set(sessionId, [Math.log(value)]);
    else day.push(Math.log(value));
  }
  return [...setups.values()].map((days) =>
    [...days].map(([sessionId, lnValues]) => ({ sessionId, mean: meanOf(lnValues) })),
  );
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

export function dayToDaySentence({ standardDeviation, degreesOfFreedom }: KnownDayToDay): string {
  return `the mean of one setup moves by ${percentText(100 * standardDeviation, 2)} from day to day (${countOf(degreesOfFreedom, 'degree', 'degrees')} of freedom), which is in the interval.`;
}
