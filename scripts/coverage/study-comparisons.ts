import type { Distributions } from '../../shared-lib/calibration/distributions.ts';
import { compareTwo } from '../../shared-lib/comparison/compare-two.ts';
import type { ComparedTrial, Verdict } from '../../shared-lib/comparison/comparison-model.ts';
import { estimateDayToDay, type KnownDayToDay } from '../../shared-lib/comparison/day-to-day.ts';
import { placeField } from '../../shared-lib/comparison/place-field.ts';
import { createSeededRandom, type SeededRandom } from '../../shared-lib/simulation/seeded-random.ts';

/** Two tools of which the truth is known, pulled over and over again. */
export interface ComparedDay {
  readonly rounds: number;
  /** Of one pull, of ln(measure). */
  readonly scatter: number;
  /** True ratio of A to B. */
  readonly ratio: number;
  /** From one pull to the next, of ln(measure). */
  readonly driftPerPull: number;
  readonly marginPercent: number;
}

/** Where the second tool is pulled on another day; `days`: of a reference tool by which the scatter is known. */
export interface TwoDays {
  readonly dayScatter: number;
  readonly days: number | 'exactly';
  readonly pullsPerDay: number;
}

export interface Verdicts {
  /** Shares of all comparisons. */
  readonly apart: number;
  readonly byMargin: number;
  readonly level: number;
}

/** ABBA and on: the order that a run sheet has for two. */
export function verdictsWithin(day: ComparedDay, count: number, distributions: Distributions): Verdicts {
  return verdictsOf(count, (random) => {
    const trials = [...Array(day.rounds).keys()].flatMap((round) => {
      const order = round % 2 === 0 ? ['a', 'b'] : ['b', 'a'];
      return order.map((key, place) =>
        trialOf(key, 's1', round + 1, 2 * round + place, lnOfPull(day, key, 2 * round + place, random)),
      );
    });
    return verdictOf(trials, day, null, distributions);
  });
}

/** A on one day and B on another, with as many pulls each. */
export function verdictsAcross(
  day: ComparedDay,
  twoDays: TwoDays,
  count: number,
  distributions: Distributions,
): Verdicts {
  return verdictsOf(count, (random) => {
    const onDay = (key: string, sessionId: string): ComparedTrial[] => {
      const moved = twoDays.dayScatter * random.gaussian();
      return [...Array(day.rounds).keys()].map((pull) =>
        trialOf(key, sessionId, pull + 1, pull, moved + lnOfPull(day, key, pull, random)),
      );
    };
    const known = knownDayToDay(day, twoDays, random);
    return verdictOf([...onDay('a', 's1'), ...onDay('b', 's2')], day, known, distributions);
  });
}

/** How often ten equal tools all have every place in their range at once, by one measure. */
export function fieldHoldsAllPlaces(
  { tools, rounds, scatter }: { readonly tools: number; readonly rounds: number; readonly scatter: number },
  count: number,
  distributions: Distributions,
): number {
  const keys = [...Array(tools).keys()].map((tool) => `t${String(tool)}`);
  let held = 0;
  for (let seed = 0; seed < count; seed += 1) {
    const random = createSeededRandom(seed, 0);
    const trials = [...Array(rounds).keys()].flatMap((round) =>
      keys.map((key, place) =>
        trialOf(key, 's1', round + 1, round * tools + place, scatter * random.gaussian()),
      ),
    );
    const { places } = placeField({ trials, keys, better: 'more' }, distributions);
    if (places.every(({ bestPlace, worstPlace }) => bestPlace === 1 && worstPlace === tools)) held += 1;
  }
  return held / count;
}

function lnOfPull(day: ComparedDay, key: string, pull: number, random: SeededRandom): number {
  const truth = key === 'a' ? Math.log(day.ratio) : 0;
  return truth + day.driftPerPull * pull + day.scatter * random.gaussian();
}

function knownDayToDay(
  { scatter }: ComparedDay,
  twoDays: TwoDays,
  random: SeededRandom,
): KnownDayToDay | null {
  const { dayScatter, days, pullsPerDay } = twoDays;
  if (days === 'exactly') return { standardDeviation: dayScatter, degreesOfFreedom: 1e6 };
  const pulls = [...Array(days).keys()].flatMap((day) => {
    const moved = dayScatter * random.gaussian();
    return [...Array(pullsPerDay).keys()].map((pull) =>
      trialOf('reference', `d${String(day)}`, null, pull, moved + scatter * random.gaussian()),
    );
  });
  return estimateDayToDay(pulls);
}

function verdictOf(
  trials: readonly ComparedTrial[],
  day: ComparedDay,
  dayToDay: KnownDayToDay | null,
  distributions: Distributions,
): Verdict {
  return compareTwo(
    {
      a: 'a',
      b: 'b',
      trials,
      better: 'more',
      marginPercent: day.marginPercent,
      confidence: 0.95,
      plannedRounds: { a: day.rounds, b: day.rounds },
      dayToDay,
      isLikeForLike: true,
      checkpoints: [],
      words: { a: 'A', b: 'B', what: 'torque', format: String, formatDifference: String },
    },
    distributions,
  ).verdict;
}

function verdictsOf(count: number, draw: (random: SeededRandom) => Verdict): Verdicts {
  const seen = new Map<Verdict, number>();
  for (let seed = 0; seed < count; seed += 1) {
    const verdict = draw(createSeededRandom(seed, 0));
    seen.set(verdict, (seen.get(verdict) ?? 0) + 1);
  }
  const share = (...verdicts: Verdict[]): number =>
    verdicts.reduce((sum, verdict) => sum + (seen.get(verdict) ?? 0), 0) / count;
  return {
    apart: share('ahead', 'behind', 'aheadByMargin', 'behindByMargin'),
    byMargin: share('aheadByMargin', 'behindByMargin'),
    level: share('level'),
  };
}

const FIRST_PULL_AT = Date.UTC(2026, 0, 5, 9);
const DAY_MS = 86_400_000;

function trialOf(
  contenderKey: string,
  sessionId: string,
  round: number | null,
  order: number,
  ln: number,
): ComparedTrial {
  return {
    trialId: `${contenderKey} ${sessionId} ${String(order)}`,
    contenderKey,
    sessionId,
    // Sessions are numbered by their day.
    startedAt: new Date(FIRST_PULL_AT + DAY_MS * Number(sessionId.slice(1)) + 60_000 * order).toISOString(),
    round,
    isReference: false,
    value: 500 * Math.exp(ln),
    leftOutBecause: null,
  };
}
