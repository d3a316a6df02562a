import { millisecondsOf } from '../instants.ts';
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
  'contenderKey' | 'sessionId' | 'startedAt' | 'isReference' | 'value' | 'leftOutBecause'
>;

/** What is taken for a day; `session`: by rules of before, each sitting by itself. */
export type DayRule = 'apart' | 'session';

const FEWEST_DAYS = 3;
/** A sitting that begins sooner after the last pull of another is of the same day (ours): who starts the program anew has no new day. */
const LEAST_BETWEEN_DAYS_MS = 8 * 3_600_000;

/** Takes trials one after the other: standings ask for it over all trials there are, of several measures at once. */
export interface DayToDay {
  add(trial: TrialOfDay): void;
  estimate(): KnownDayToDay | null;
}

/**
 * How much the mean of one setup moves from day to day, from all setups with counting trials on at least three days: sessions
 * with eight hours between their pulls. Null without one.
 *
 * The standard deviation of the means as they are: what runs scatter is in it, divided by the runs of a day. Taken out, it
 * would leave nothing in many a case of few days, and equal tools of two days were told apart in up to 12 % of simulated
 * comparisons (combine-variances.ts).
 */
export function estimateDayToDay(
  trials: readonly TrialOfDay[],
  rule: DayRule = 'apart',
): KnownDayToDay | null {
  const days = createDayToDay(rule);
  for (const trial of trials) days.add(trial);
  return days.estimate();
}

/** Logarithms of what was pulled, by session or day. */
type DaysOfSetup = Map<string, number[]>;

/** First and last pull of a session. */
interface Span {
  from: string;
  to: string;
}

export function createDayToDay(rule: DayRule = 'apart'): DayToDay {
  const all: DaysOfSetup[] = [];
  const spans = new Map<string, Span>();
  // A reference tool may be a setup too on one of its days: each counts by itself.
  const setups = new Map<string, DaysOfSetup>();
  const references = new Map<string, DaysOfSetup>();
  return {
    add(trial) {
      const { contenderKey, sessionId, startedAt, isReference, value } = trial;
      if (!takesPart(trial) || !hasLogarithm(value)) return;
      const span = spans.get(sessionId);
      if (span === undefined) spans.set(sessionId, { from: startedAt, to: startedAt });
      else if (startedAt > span.to) span.to = startedAt;
      else if (startedAt < span.from) span.from = startedAt;
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
      const setupsByDay = rule === 'session' ? all : all.map(inDays(spans));
      const repeated = setupsByDay.filter(({ size }) => size >= FEWEST_DAYS);
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

/** Puts the sessions of a day together; a day goes by the name of its first session. */
function inDays(spans: ReadonlyMap<string, Span>): (sessions: DaysOfSetup) => DaysOfSetup {
  const at = (instant: string): number => millisecondsOf(instant) ?? Number.NaN;
  const dayOf = new Map<string, string>();
  let day = '';
  let endMs = Number.NEGATIVE_INFINITY;
  for (const [sessionId, { from, to }] of [...spans].toSorted(([, a], [, b]) => (a.from < b.from ? -1 : 1))) {
    if (at(from) - endMs >= LEAST_BETWEEN_DAYS_MS) day = sessionId;
    dayOf.set(sessionId, day);
    endMs = Math.max(endMs, at(to));
  }
  return (sessions) => {
    const days: DaysOfSetup = new Map();
    for (const [sessionId, logarithms] of sessions) {
      const name = dayOf.get(sessionId) ?? sessionId;
      days.set(name, [...(days.get(name) ?? []), ...logarithms]);
    }
    return days;
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
