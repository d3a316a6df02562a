import type { Distributions } from '../calibration/distributions.ts';
import { formatNumber, THIN_SPACE } from '../format-quantity.ts';
import { totalVariance, welchSatterthwaite } from './combine-variances.ts';
import type { ClaimCheck } from './comparison-model.ts';
import { countOf, RELEASED_AT_LEAST, sentenceCase, STATIC_CALIBRATION } from './comparison-words.ts';
import { meanOf, standardDeviationOf } from './sums.ts';

export interface ClaimToJudge {
  readonly claimedNm: number;
  readonly kind: ClaimCheck['kind'];
  /** Fastening: sustained torque of each run. Breakaway: the preload of each run that released it. */
  readonly valuesNm: readonly number[];
  /** Breakaway: preloads that were not released. */
  readonly notReleasedNm?: readonly number[];
  /** What the calibration states of a torque; null: nothing. */
  readonly calibrationAt: (torqueNm: number) => StatedUncertainty | null;
  /** The highest torque that was applied at calibration; null: not known. */
  readonly validToNm: number | null;
  /** Of ln(measure), from the setups of the same step and bench: for a single run. */
  readonly pooledScatter: { readonly standardDeviation: number; readonly degreesOfFreedom: number } | null;
  readonly words: {
    /** Label of the contender. */
    readonly tool: string;
    format(torqueNm: number): string;
  };
}

export interface StatedUncertainty {
  /** Standard, relative to the torque. */
  readonly relative: number;
  /** Null: known without doubt. */
  readonly degreesOfFreedom: number | null;
}

export type ClaimJudgement = Pick<
  ClaimCheck,
  | 'verdict'
  | 'meanNm'
  | 'scatterNm'
  | 'calibrationNm'
  | 'degreesOfFreedom'
  | 'lowerBoundNm'
  | 'upperBoundNm'
  | 'sentence'
  | 'cautions'
>;

const ONE_SIDED = 0.95;
/** Where a calibration knows its uncertainty without doubt. */
const NO_DOUBT = 1e9;

/**
 * Whether the maker's figure holds on this specimen and this bench, on the linear scale: u^2 = s^2 / n + u_cal^2 with degrees
 * of freedom by Welch and Satterthwaite. Reached where the lower one-sided 95 % bound is at least the claim, not reached where
 * the upper one is below it.
 *
 * A preload that was released says that the tool has at least that: its highest is held against a breakaway claim, with the
 * calibration's uncertainty alone, and releases can never show that a claim is not reached.
 *
 * What reads beyond the greatest torque of the calibration is shown and shows nothing of a claim.
 */
export function judgeClaim(claim: ClaimToJudge, distributions: Distributions): ClaimJudgement {
  return claim.kind === 'fastening'
    ? judgeFastening(claim, distributions)
    : judgeBreakaway(claim, distributions);
}

const SPECIMEN = 'It holds for this specimen on this bench.';

function judgeFastening(claim: ClaimToJudge, distributions: Distributions): ClaimJudgement {
  const { claimedNm, valuesNm, validToNm, pooledScatter, words } = claim;
  if (valuesNm.length === 0) return noTrials(claim);
  const meanNm = meanOf(valuesNm);
  const stated = claim.calibrationAt(meanNm);
  const isSingle = valuesNm.length === 1;
  const cautions = [`${STATIC_CALIBRATION} Blows may read higher or lower than the torque they are.`];
  const scatter = isSingle
    ? pooledScatter === null
      ? null
      : {
          standardDeviationNm: pooledScatter.standardDeviation * meanNm,
          degreesOfFreedom: pooledScatter.degreesOfFreedom,
        }
    : { standardDeviationNm: standardDeviationOf(valuesNm), degreesOfFreedom: valuesNm.length - 1 };
  if (isSingle && scatter !== null)
    cautions.push('One run: the scatter of the other setups is taken for it.');
  const scatterNm = scatter === null ? null : scatter.standardDeviationNm / Math.sqrt(valuesNm.length);
  const calibrationNm = stated === null ? null : stated.relative * meanNm;
  const seen = `it held ${words.format(meanNm)} in the mean of ${countOf(valuesNm.length, 'run', 'runs')}`;
  const claimed = `the claimed ${words.format(claimedNm)}`;
  const isBeyond = validToNm !== null && meanNm > validToNm;
  if (isBeyond || scatter === null || scatterNm === null || stated === null || calibrationNm === null) {
    const because = isBeyond
      ? `the calibration reaches only to ${words.format(validToNm)}`
      : calibrationNm === null
        ? 'the calibration states no uncertainty'
        : 'one run does not show how runs scatter';
    return {
      ...unbounded(meanNm, scatterNm, calibrationNm),
      sentence: `Cannot tell whether ${words.tool} reaches ${claimed}: ${seen}, and ${because}. ${STATIC_CALIBRATION}`,
      cautions,
    };
  }
  const parts = [
    { variance: scatterNm ** 2, degreesOfFreedom: scatter.degreesOfFreedom },
    { variance: calibrationNm ** 2, degreesOfFreedom: stated.degreesOfFreedom ?? NO_DOUBT },
  ];
  const degreesOfFreedom = Math.min(welchSatterthwaite(parts), NO_DOUBT);
  const half = distributions.studentTQuantile(ONE_SIDED, degreesOfFreedom) * Math.sqrt(totalVariance(parts));
  const [lowerBoundNm, upperBoundNm] = [meanNm - half, meanNm + half];
  const verdict =
    lowerBoundNm >= claimedNm ? 'reached' : upperBoundNm < claimedNm ? 'notReached' : 'cannotTell';
  const bounds = `at least ${words.format(lowerBoundNm)} and at most ${words.format(upperBoundNm)} (one-sided, 95${THIN_SPACE}% each)`;
  const says = {
    reached: `${words.tool} reaches ${claimed}`,
    notReached: `${words.tool} does not reach ${claimed}`,
    cannotTell: `Cannot tell whether ${words.tool} reaches ${claimed}`,
  }[verdict];
  return {
    verdict,
    meanNm,
    scatterNm,
    calibrationNm,
    degreesOfFreedom,
    lowerBoundNm,
    upperBoundNm,
    sentence: `${says}: ${seen}, ${formatNumber((100 * meanNm) / claimedNm, 1)}${THIN_SPACE}% of it; ${bounds}. ${SPECIMEN} ${STATIC_CALIBRATION}`,
    cautions,
  };
}

function judgeBreakaway(claim: ClaimToJudge, distributions: Distributions): ClaimJudgement {
  const { claimedNm, validToNm, words } = claim;
  const isInRange = (preloadNm: number): boolean => validToNm === null || preloadNm <= validToNm;
  const stayedNm = claim.notReleasedNm ?? [];
  const [valuesNm, notReleasedNm] = [claim.valuesNm.filter(isInRange), stayedNm.filter(isInRange)];
  const beyondCount = claim.valuesNm.length - valuesNm.length + stayedNm.length - notReleasedNm.length;
  if (beyondCount + valuesNm.length + notReleasedNm.length === 0) return noTrials(claim);
  const cautions = [STATIC_CALIBRATION, RELEASED_AT_LEAST];
  /** Relative to a preload, up to its one-sided 95 % bound. */
  const doubtOf = (stated: StatedUncertainty | null): number | null =>
    stated === null
      ? null
      : distributions.studentTQuantile(ONE_SIDED, stated.degreesOfFreedom ?? NO_DOUBT) * stated.relative;
  const claimed = `the claimed ${words.format(claimedNm)}`;
  const highestNm = valuesNm.length === 0 ? null : Math.max(...valuesNm);
  const failedNm = notReleasedNm.length === 0 ? null : Math.min(...notReleasedNm);
  const statedAtHighest = highestNm === null ? null : claim.calibrationAt(highestNm);
  const calibrationNm =
    highestNm === null || statedAtHighest === null ? null : statedAtHighest.relative * highestNm;
  const [doubtAtHighest, doubtAtFailed] = [
    doubtOf(statedAtHighest),
    doubtOf(failedNm === null ? null : claim.calibrationAt(failedNm)),
  ];
  const lowerBoundNm =
    highestNm === null || doubtAtHighest === null ? null : highestNm * (1 - doubtAtHighest);
  // Where what did not come loose lies below the claim, and nothing as high ever did.
  const failedBoundNm =
    failedNm === null || doubtAtFailed === null || (highestNm !== null && highestNm >= failedNm)
      ? null
      : failedNm * (1 + doubtAtFailed);
  const isReached = lowerBoundNm !== null && lowerBoundNm >= claimedNm;
  const isMissed = failedBoundNm !== null && failedBoundNm < claimedNm;
  const verdict = isReached ? 'reached' : isMissed ? 'notReached' : 'cannotTell';
  const atHighest = valuesNm.filter((valueNm) => valueNm === highestNm).length;
  if (highestNm !== null && atHighest === 1) cautions.push('The highest preload was released once.');
  if (failedNm !== null) {
    cautions.push(
      `${sentenceCase(countOf(notReleasedNm.length, 'run', 'runs'))} did not release the preload, the lowest ${words.format(failedNm)}.`,
    );
  }
  if (beyondCount > 0 && validToNm !== null) {
    cautions.push(
      `${sentenceCase(countOf(beyondCount, 'run was', 'runs were'))} made at a preload beyond the ${words.format(validToNm)} that the calibration reaches to, and ${beyondCount === 1 ? 'shows' : 'show'} nothing of the claim.`,
    );
  }
  const isUnstated = (highestNm ?? failedNm) !== null && doubtAtHighest === null && doubtAtFailed === null;
  const released =
    highestNm === null
      ? `no preload${beyondCount === 0 ? '' : ' within the calibrated range'} was released`
      : `the highest preload that was released is ${words.format(highestNm)}${lowerBoundNm === null ? '' : `, at least ${words.format(lowerBoundNm)} (one-sided, 95${THIN_SPACE}%)`}`;
  const failed =
    failedNm === null
      ? ''
      : `, the lowest that was not ${words.format(failedNm)}${failedBoundNm === null ? '' : `, at most ${words.format(failedBoundNm)}`}`;
  const says = {
    reached: `${words.tool} breaks loose ${claimed} or more`,
    notReached: `${words.tool} does not break loose ${claimed}`,
    cannotTell: `Cannot tell whether ${words.tool} breaks loose ${claimed}${isUnstated ? ', since the calibration states no uncertainty' : ''}`,
  }[verdict];
  return {
    verdict,
    meanNm: highestNm,
    scatterNm: null,
    calibrationNm,
    degreesOfFreedom: statedAtHighest?.degreesOfFreedom ?? null,
    lowerBoundNm,
    upperBoundNm: failedBoundNm,
    sentence: `${says}: ${released}${failed}. ${SPECIMEN} ${STATIC_CALIBRATION}`,
    cautions,
  };
}

function unbounded(
  meanNm: number,
  scatterNm: number | null,
  calibrationNm: number | null,
): Omit<ClaimJudgement, 'sentence' | 'cautions'> {
  return {
    verdict: 'cannotTell',
    meanNm,
    scatterNm,
    calibrationNm,
    degreesOfFreedom: null,
    lowerBoundNm: null,
    upperBoundNm: null,
  };
}

function noTrials({ kind, words }: ClaimToJudge): ClaimJudgement {
  const what = kind === 'fastening' ? 'tightening run' : 'breakaway run';
  return {
    verdict: 'noTrials',
    meanNm: null,
    scatterNm: null,
    calibrationNm: null,
    degreesOfFreedom: null,
    lowerBoundNm: null,
    upperBoundNm: null,
    sentence: `${words.tool} has no ${what} that counts, so the claim is not checked.`,
    cautions: [],
  };
}
