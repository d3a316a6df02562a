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

/** Takes trials one after the other: standings ask for it over all trials there are, of several measures at once. */
export interface DayToDay {
  add(trial: TrialOfDay): void;
  estimate(): KnownDayToDay | null;
}

/**
 * How much the mean of one setup moves from day to day, from all setups with counting trials in at least three sessions, which
 * are taken for days. Null without one.
 *
 * The standard deviation of the means as they are: what runs scatter is in it, divided by the runs of a day. Taken out, it
 * would leave nothing in many a case of few days, and equal tools of two days were told apart in up to 12 % of simulated
 * comparisons (combine-variances.ts).
 */
export function estimateDayToDay(trials: readonly TrialOfDay[]): KnownDayToDay | null {
  const days = createDayToDay();
  for (const trial of trials) days.add(trial);
  return days.estimate();
}

/** Logarithms of what was pulled, by session. */
type DaysOfSetup = Map<string, number[]>;

export function createDayToDay(): DayToDay {
  const all: DaysOfSetup[] = [];
  // A reference tool may be a setup too on one of its days: each counts by itself.
  const setups = new Map<string, DaysOfSetup>();
  const references = new Map<string, DaysOfSetup>();
  return {
    add(trial) {
      const { contenderKey, sessionId, isReference, value } = trial;
      if (!takesPart(trial) || !hasLogarithm(value)) return;
      const ofKind = isReference ? references : setups;
      let days = ofKind.get(contenderKey);
      if (days === undefined) {
        days = new Map();
        ofKind.set(contenderKey, days);
        all.push(days);
      }
      const day = days.get(sessionId);
      if (day === undefined) days.set(sessionId, [Math.log(value)]);
      else day.push(Math.log(value));
    },
    estimate() {
      const repeated = all.filter(({ size }) => size >= FEWEST_DAYS);
      if (repeated.length === 0) return null;
      const squares = sumOf(repeated.map((days) => squaresAboutMean([...days.values()].map(meanOf))));
      const comparisons = sumOf(repeated.map(({ size }) => size - 1));
      return {
        standardDeviation: Math.sqrt(squares / comparisons),
        degreesOfFreedom: independentDays(repeated.map((days) => [...days.keys()])),
      };
    },
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

export function dayToDaySentence({ standardDeviation, degreesOfFreedom }: KnownDayToDay): string {
  return `the mean of one setup moves by ${percentText(100 * standardDeviation, 2)} from day to day (${countOf(degreesOfFreedom, 'degree', 'degrees')} of freedom), which is in the interval.`;
}
