import type { Distributions } from '../calibration/distributions.ts';
import { cautiousDegreesOfFreedom, totalVariance, welchSatterthwaite } from './combine-variances.ts';
import type { KnownDayToDay } from './day-to-day.ts';
import type { Observation } from './observations.ts';
import { estimateScatter, type ScatterOfTwo } from './scatter.ts';
import { dayShare, sessionShares } from './session-shares.ts';
import type { Difference } from './welch.ts';

export interface EstimatedDifference extends ScatterOfTwo {
  /** mean of ln(measure) of A minus that of B; null where nothing is known of scatter. */
  readonly test: Difference | null;
  /** See dayShare. */
  readonly dayShare: number;
  readonly isDayToDayUnknown: boolean;
}

/**
 * The difference of two contenders with its standard error: within sessions by `estimateScatter`, and across them
 * s_d^2 times the day share on top, with the degrees of freedom that a scatter of few days leaves. Null where either has no value.
 */
export function estimateDifference(
  observations: readonly Observation[],
  a: string,
  b: string,
  dayToDay: KnownDayToDay | null,
  distributions: Distributions,
): EstimatedDifference | null {
  const has = (wanted: string): boolean => observations.some(({ key }) => key === wanted);
  if (!has(a) || !has(b)) return null;
  const estimate = estimateScatter(observations, a, b, distributions);
  // In complete rounds both stand in each session alike, whatever their repeats.
  const sharesOf = (wanted: string) => sessionShares(estimate.used.filter(({ key }) => key === wanted));
  const share = estimate.scatter.way === 'rounds' ? 0 : dayShare(sharesOf(a), sharesOf(b));
  const isAcross = share > 0;
  const ends = { ...estimate, dayShare: share, isDayToDayUnknown: isAcross && dayToDay === null };
  if (estimate.parts.length === 0) return { ...ends, test: null };
  const parts =
    isAcross && dayToDay !== null
      ? [
          ...estimate.parts,
          {
            variance: dayToDay.standardDeviation ** 2 * share,
            degreesOfFreedom: dayToDay.degreesOfFreedom,
          },
        ]
      : estimate.parts;
  return {
    ...ends,
    test: {
      difference: estimate.meanA - estimate.meanB,
      standardError: Math.sqrt(totalVariance(parts)),
      degreesOfFreedom:
        parts === estimate.parts ? welchSatterthwaite(parts) : cautiousDegreesOfFreedom(parts, distributions),
    },
  };
}
