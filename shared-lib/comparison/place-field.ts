import type { Distributions } from '../calibration/distributions.ts';
import type { ComparedTrial, FieldPlace, Scatter } from './comparison-model.ts';
import { countOf, percentText } from './comparison-words.ts';
import { estimateDayToDay, type KnownDayToDay } from './day-to-day.ts';
import { dayShareOf } from './estimate-difference.ts';
import { scatterOfField } from './field-scatter.ts';
import { observe, ownTrials } from './observations.ts';
import { competitionPlaces } from './rank-with-ties.ts';
import { studentizedRangeQuantile } from './studentized-range.ts';
import { sumOf, welchSatterthwaite } from './sums.ts';

export interface FieldInput {
  readonly trials: readonly ComparedTrial[];
  readonly keys: readonly string[];
  readonly better: 'more' | 'less';
  /** Left out: from the trials themselves, where a setup was pulled on three days. */
  readonly dayToDay?: KnownDayToDay | null;
}

export interface FieldResult {
  /** By place; those of `keys` without a value are not among them. */
  readonly places: (Omit<FieldPlace, 'contender'> & { readonly key: string })[];
  readonly scatter: Scatter;
  readonly cautions: string[];
}

const PROBABILITY = 0.95;
/** With less the critical values are so large that a range would say nothing. */
const LEAST_DF = 3;

/**
 * The contenders in order, each with the places that it could have: all pairs are compared at once (Tukey and Kramer), so that
 * in 95 % of cases not one of them is told apart wrongly. Two are separated where
 *
 *   |difference of ln means| > q_0.95(K, nu) sqrt(se^2 / 2)
 *
 * se and nu as in a comparison of two: across sessions with the day-to-day scatter, and of those who scatter clearly more with
 * their own (Games and Howell).
 */
export function placeField(input: FieldInput, distributions: Distributions): FieldResult {
  const wanted = new Set(input.keys);
  const all = ownTrials(input.trials);
  const observations = observe(all);
  const keys = [...wanted].filter((wantedKey) => observations.some(({ key }) => key === wantedKey));
  const field = scatterOfField(observations, keys, distributions);
  const dayToDay = input.dayToDay === undefined ? estimateDayToDay(input.trials) : input.dayToDay;
  const places = competitionPlaces(
    field.members.map(({ mean }) => mean),
    input.better,
  );
  const criticalOf = criticalValues(keys.length);
  const seen = { isDayToDayUnknown: false, isAcrossSessions: false, isTooLittleKnown: false };

  const placed = field.members.map((one, index) => {
    let better = 0;
    let worse = 0;
    let isKnown = true;
    const notSeparatedFrom: string[] = [];
    for (const other of field.members) {
      if (other === one) continue;
      const dayShare = field.isByRounds ? 0 : dayShareOf(field.used, one.key, other.key);
      if (dayShare > 0) {
        seen.isAcrossSessions = true;
        if (dayToDay === null) seen.isDayToDayUnknown = true;
      }
      const parts = field.partsOf(one, other);
      if (dayShare > 0 && dayToDay !== null) {
        parts.push({
          variance: dayToDay.standardDeviation ** 2 * dayShare,
          degreesOfFreedom: dayToDay.degreesOfFreedom,
        });
      }
      const critical = parts.length === 0 ? null : criticalOf(welchSatterthwaite(parts));
      if (critical === null) isKnown = false;
      const least =
        critical === null ? Infinity : critical * Math.sqrt(sumOf(parts.map(({ variance }) => variance)) / 2);
      const difference = other.mean - one.mean;
      if (Math.abs(difference) <= least) notSeparatedFrom.push(other.key);
      else if (difference > 0 === (input.better === 'more')) better += 1;
      else worse += 1;
    }
    if (!isKnown) seen.isTooLittleKnown = true;
    return {
      key: one.key,
      count: one.count,
      mean: Math.exp(one.mean),
      place: places[index] ?? Number.NaN,
      bestPlace: isKnown ? 1 + better : null,
      worstPlace: isKnown ? field.members.length - worse : null,
      notSeparatedFrom,
    };
  });
  return {
    places: placed.toSorted((one, other) => one.place - other.place),
    scatter: field.scatter,
    cautions: [
      ...(seen.isTooLittleKnown
        ? [
            `No range of places where less than ${LEAST_DF} degrees of freedom are known of the scatter: pull more rounds.`,
          ]
        : []),
      ...(seen.isDayToDayUnknown
        ? [
            'Across sessions, day-to-day scatter unknown: the ranges of those from different days are too narrow. Pull a reference tool on at least three days.',
          ]
        : seen.isAcrossSessions && dayToDay !== null
          ? [
              `Across sessions: the mean of one setup moves by ${percentText(100 * dayToDay.standardDeviation, 2)} from day to day (${countOf(dayToDay.degreesOfFreedom, 'degree', 'degrees')} of freedom), which is in the ranges.`,
            ]
          : []),
      ...field.cautions,
      ...withoutValue(all, wanted, new Set(observations.map(({ trialId }) => trialId))),
    ],
  };
}

/** Counted by numbers of degrees of freedom rounded down, which never makes a range too narrow, and each computed once. */
function criticalValues(count: number): (degreesOfFreedom: number) => number | null {
  const known = new Map<number, number>();
  return (degreesOfFreedom) => {
    if (!(degreesOfFreedom >= LEAST_DF)) return null;
    const rounded = roundedDown(degreesOfFreedom);
    const value = known.get(rounded) ?? studentizedRangeQuantile(PROBABILITY, count, rounded);
    known.set(rounded, value);
    return value;
  };
}

function roundedDown(degreesOfFreedom: number): number {
  if (degreesOfFreedom > 1000) return 1000;
  if (degreesOfFreedom > 60) return 20 * Math.floor(degreesOfFreedom / 20);
  return degreesOfFreedom > 10 ? Math.floor(degreesOfFreedom) : Math.floor(4 * degreesOfFreedom) / 4;
}

function withoutValue(
  trials: readonly ComparedTrial[],
  wanted: ReadonlySet<string>,
  observed: ReadonlySet<string>,
): string[] {
  const count = trials.filter(
    ({ contenderKey, trialId }) => wanted.has(contenderKey) && !observed.has(trialId),
  ).length;
  return count === 0
    ? []
    : [
        `${countOf(count, 'run has', 'runs have')} no value of this measure and ${count === 1 ? 'is' : 'are'} not compared. What is left may flatter its tool.`,
      ];
}
