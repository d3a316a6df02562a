import type { Distributions } from '../calibration/distributions.ts';
import type { KnownDayToDay } from './day-to-day.ts';
import { groupBy, type Observation } from './observations.ts';
import { estimateScatter, type ScatterOfTwo } from './scatter.ts';
import { sumOf, welchSatterthwaite } from './sums.ts';
import type { Difference } from './welch.ts';

export interface EstimatedDifference extends ScatterOfTwo {
  /** mean of ln(measure) of A minus that of B; null where nothing is known of scatter. */
  readonly test: Difference | null;
  /** Sum over the sessions of (share of A's trials - share of B's)^2: 0 in one common session, 2 in two different ones. */
  readonly dayShare: number;
  readonly isDayToDayUnknown: boolean;
}

/**
 * The difference of two contenders with its standard error: within sessions by `estimateScatter`, and across them
 * s_d^2 times the day share on top, its degrees of freedom by Welch and Satterthwaite. Null where either has no value.
 */
export function estimateDifference(
  observations: readonly Observation[],
  a: string,
  b: string,
  dayToDay: KnownDayToDay | null,
  distributions: Pick<Distributions, 'fUpperTail'>,
): EstimatedDifference | null {
  const has = (wanted: string): boolean => observations.some(({ key }) => key === wanted);
  if (!has(a) || !has(b)) return null;
  const estimate = estimateScatter(observations, a, b, distributions);
  // In complete rounds both stand in each session alike, whatever their repeats.
  const dayShare = estimate.scatter.way === 'rounds' ? 0 : dayShareOf(estimate.used, a, b);
  const isAcross = dayShare > 0;
  const ends = { ...estimate, dayShare, isDayToDayUnknown: isAcross && dayToDay === null };
  if (estimate.parts.length === 0) return { ...ends, test: null };
  const parts =
    isAcross && dayToDay !== null
      ? [
          ...estimate.parts,
          {
            variance: dayToDay.standardDeviation ** 2 * dayShare,
            degreesOfFreedom: dayToDay.degreesOfFreedom,
          },
        ]
      : estimate.parts;
  return {
    ...ends,
    test: {
      difference: estimate.meanA - estimate.meanB,
      standardError: Math.sqrt(sumOf(parts.map(({ variance }) => variance))),
      degreesOfFreedom: welchSatterthwaite(parts),
    },
  };
}

/** See EstimatedDifference. */
export function dayShareOf(used: readonly Observation[], a: string, b: string): number {
  const countOf = (trials: readonly Observation[], wanted: string): number =>
    trials.filter(({ key }) => key === wanted).length;
  const [allA, allB] = [countOf(used, a), countOf(used, b)];
  const share = sumOf(
    [...groupBy(used, ({ sessionId }) => sessionId).values()].map(
      (session) => (countOf(session, a) / allA - countOf(session, b) / allB) ** 2,
    ),
  );
  return share > ROUNDING ? share : 0;
}

const ROUNDING = 1e-12;
