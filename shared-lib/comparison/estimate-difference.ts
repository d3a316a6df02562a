import type { Distributions } from '../calibration/distributions.ts';
import {
  cautiousDegreesOfFreedom,
  totalVariance,
  type VariancePart,
  welchSatterthwaite,
} from './combine-variances.ts';
import type { KnownDayToDay } from './day-to-day.ts';
import type { Observation } from './observations.ts';
import { type ScaleDifference, scaleDifference, scalesCancel, type TrialScales } from './scale-difference.ts';
import { estimateScatter, type ScatterOfTwo } from './scatter.ts';
import { dayShare, sessionShares } from './session-shares.ts';
import type { Difference } from './welch.ts';

export interface EstimatedDifference extends ScatterOfTwo {
  /** mean of ln(measure) of A minus that of B; null where nothing is known of scatter. */
  readonly test: Difference | null;
  /** See dayShare. */
  readonly dayShare: number;
  readonly isDayToDayUnknown: boolean;
  readonly scale: ScaleDifference;
}

/** How surely a stated uncertainty is known is not stated; it is taken for certain (ours). */
const CERTAIN = 1e9;

/**
 * The difference of two contenders with its standard error: within sessions by `estimateScatter`, and across them
 * s_d^2 times the day share on top, with the degrees of freedom that a scatter of few days leaves; likewise what the scales of
 * calibrations bring in that do not cancel. Null where either has no value.
 *
 * `scales`: null where the measure does not scale with the torque.
 */
export function estimateDifference(
  observations: readonly Observation[],
  a: string,
  b: string,
  dayToDay: KnownDayToDay | null,
  distributions: Distributions,
  scales: TrialScales | null = null,
): EstimatedDifference | null {
  const has = (wanted: string): boolean => observations.some(({ key }) => key === wanted);
  if (!has(a) || !has(b)) return null;
  const estimate = estimateScatter(observations, a, b, distributions);
  // In complete rounds both stand in each session alike, whatever their repeats.
  const usedOf = (wanted: string) => estimate.used.filter(({ key }) => key === wanted);
  const sharesOf = (wanted: string) => sessionShares(usedOf(wanted));
  const share = estimate.scatter.way === 'rounds' ? 0 : dayShare(sharesOf(a), sharesOf(b));
  const isAcross = share > 0;
  const idsOf = (wanted: string) => usedOf(wanted).map(({ trialId }) => trialId);
  const scale = scales === null ? scalesCancel : scaleDifference(idsOf(a), idsOf(b), scales);
  const ends = {
    ...estimate,
    dayShare: share,
    isDayToDayUnknown: isAcross && dayToDay === null,
    scale,
  };
  if (estimate.parts.length === 0) return { ...ends, test: null };
  const known = [...estimate.parts, ...scaleParts(scale)];
  const parts =
    isAcross && dayToDay !== null
      ? [
          ...known,
          {
            variance: dayToDay.standardDeviation ** 2 * share,
            degreesOfFreedom: dayToDay.degreesOfFreedom,
          },
        ]
      : known;
  return {
    ...ends,
    test: {
      difference: estimate.meanA - estimate.meanB,
      standardError: Math.sqrt(totalVariance(parts)),
      degreesOfFreedom:
        parts === known ? welchSatterthwaite(parts) : cautiousDegreesOfFreedom(parts, distributions),
    },
  };
}

/** Of the squared standard error of a difference; none where scales cancel. */
export function scaleParts({ variance }: ScaleDifference): VariancePart[] {
  return variance === 0 ? [] : [{ variance, degreesOfFreedom: CERTAIN }];
}
