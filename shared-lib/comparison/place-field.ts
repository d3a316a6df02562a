import type { Distributions } from '../calibration/distributions.ts';
import {
  cautiousDegreesOfFreedom,
  totalVariance,
  type VariancePart,
  welchSatterthwaite,
} from './combine-variances.ts';
import type { ComparedTrial, FieldPlace, Scatter } from './comparison-model.ts';
import { countOf, sentenceCase } from './comparison-words.ts';
import { dayToDaySentence, estimateDayToDay, type KnownDayToDay } from './day-to-day.ts';
import { scatterOfField, type FieldMember, type FieldScatter } from './field-scatter.ts';
import { groupBy, observe, ownTrials } from './observations.ts';
import { competitionPlaces } from './rank-with-ties.ts';
import { dayShare, sessionShares } from './session-shares.ts';
import { studentizedRangeQuantile } from './studentized-range.ts';

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
 * their own (Games and Howell). Where nobody knows that scatter, those of different days are not separated.
 */
export function placeField(input: FieldInput, distributions: Distributions): FieldResult {
  const wanted = new Set(input.keys);
  const all = ownTrials(input.trials);
  const observations = observe(all);
  const keys = [...wanted].filter((wantedKey) => observations.some(({ key }) => key === wantedKey));
  const field = scatterOfField(observations, keys, distributions);
  const dayToDay = input.dayToDay === undefined ? estimateDayToDay(input.trials) : input.dayToDay;
  const { pairsOf, isAcrossSessions } = comparePairs(field, dayToDay, distributions);
  const ranks = competitionPlaces(
    field.members.map(({ mean }) => mean),
    input.better,
  );
  const isKnown = field.members.some((one) => pairsOf(one).some(({ least }) => least !== null));
  const places = field.members.map((one, index) => {
    const pairs = pairsOf(one);
    const separated = pairs.filter(({ lead, least }) => least !== null && Math.abs(lead) > least);
    const isAhead = ({ lead }: Pair): boolean => lead > 0 === (input.better === 'more');
    const worse = separated.filter(isAhead).length;
    return {
      key: one.key,
      count: one.count,
      mean: Math.exp(one.mean),
      place: ranks[index] ?? Number.NaN,
      bestPlace: isKnown ? 1 + separated.length - worse : null,
      worstPlace: isKnown ? keys.length - worse : null,
      notSeparatedFrom: pairs.filter((pair) => !separated.includes(pair)).map(({ otherKey }) => otherKey),
    };
  });
  const cautions = [
    ...(places.length > 1 && !isKnown
      ? [
          `No ranges of places: with fewer than ${LEAST_DF} degrees of freedom too little is known of the scatter. Pull more rounds.`,
        ]
      : []),
    ...(isAcrossSessions ? [acrossSessions(dayToDay)] : []),
    ...field.cautions,
    ...withoutValue(all, wanted, new Set(observations.map(({ trialId }) => trialId))),
  ];
  return {
    places: places.toSorted((one, other) => one.place - other.place),
    scatter: field.scatter,
    cautions,
  };
}

/** One contender beside another. */
interface Pair {
  readonly otherKey: string;
  /** ln(mean) of the one minus that of the other, and the least that separates two, infinite where nothing does; null: too little is known. */
  readonly lead: number;
  readonly least: number | null;
}

function comparePairs(
  field: FieldScatter,
  dayToDay: KnownDayToDay | null,
  distributions: Distributions,
): { readonly pairsOf: (one: FieldMember) => Pair[]; readonly isAcrossSessions: boolean } {
  const { members } = field;
  const criticalOf = criticalValues(members.length);
  const degreesOf = rememberedDegrees(distributions);
  const byKey = groupBy(field.used, ({ key }) => key);
  const shares = members.map(({ key }) => sessionShares(byKey.get(key) ?? []));
  const pairs = new Map<FieldMember, Pair[]>(members.map((member) => [member, []]));
  let isAcrossSessions = false;
  members.forEach((one, index) => {
    members.slice(index + 1).forEach((other, offset) => {
      const share = field.isByRounds
        ? 0
        : dayShare(shares[index] ?? new Map(), shares[index + 1 + offset] ?? new Map());
      isAcrossSessions ||= share > 0;
      const own = field.partsOf(one, other);
      const parts =
        share > 0 && dayToDay !== null
          ? [
              ...own,
              {
                variance: dayToDay.standardDeviation ** 2 * share,
                degreesOfFreedom: dayToDay.degreesOfFreedom,
              },
            ]
          : own;
      const critical =
        own.length === 0 ? null : criticalOf(parts === own ? welchSatterthwaite(parts) : degreesOf(parts));
      // As in standings: what lies between two days may be the days.
      const isOfUnknownDays = share > 0 && dayToDay === null;
      const least =
        critical === null
          ? null
          : isOfUnknownDays
            ? Number.POSITIVE_INFINITY
            : critical * Math.sqrt(totalVariance(parts) / 2);
      pairs.get(one)?.push({ otherKey: other.key, lead: one.mean - other.mean, least });
      pairs.get(other)?.push({ otherKey: one.key, lead: other.mean - one.mean, least });
    });
  });
  return { pairsOf: (one) => pairs.get(one) ?? [], isAcrossSessions };
}

/** Most pairs of a field have the same few numbers of trials. */
function rememberedDegrees(distributions: Distributions): (parts: readonly VariancePart[]) => number {
  const known = new Map<string, number>();
  return (parts) => {
    const key = JSON.stringify(parts);
    const degrees = known.get(key) ?? cautiousDegreesOfFreedom(parts, distributions);
    known.set(key, degrees);
    return degrees;
  };
}

function acrossSessions(dayToDay: KnownDayToDay | null): string {
  return dayToDay === null
    ? 'Across sessions, day-to-day scatter unknown: contenders of different days are not told apart. Pull a reference tool on at least three days.'
    : `Across sessions: ${dayToDaySentence(dayToDay)}`;
}

/** By degrees of freedom rounded down, which never makes a range too narrow, and each computed once. */
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
        `${sentenceCase(countOf(count, 'run has', 'runs have'))} no value of this measure and ${count === 1 ? 'is' : 'are'} not compared. What is left may flatter its tool.`,
      ];
}
