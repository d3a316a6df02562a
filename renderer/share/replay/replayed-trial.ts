import type { TrialCurve } from '../../../shared-lib/api-contract.ts';
import type { CalibrationInShort } from '../../../shared-lib/charts/chart-notes.ts';
import type { TrialRecord } from '../../../shared-lib/trial/trial-model.ts';

/** A trial with the curve that is drawn of it, and what this rests on. */
export interface ReplayedTrial {
  readonly record: TrialRecord;
  readonly curve: TrialCurve;
  /** That it is read by now. */
  readonly calibration: CalibrationInShort;
}

/** Instants of a curve that are asked for: as many as a picture has columns. */
export const replayedBins = 1400;

/** Under 80 Sa/s there is no curve for the eye. */
export function isLowPassed({ displayTimeS }: Pick<TrialCurve, 'displayTimeS'>): boolean {
  return displayTimeS.length > 0;
}

/** The curve for the eye in the direction of its step; where there is none, the middle of least and greatest. */
export function drawnCurve(
  curve: TrialCurve,
  sign: 1 | -1,
): { readonly timeS: Float64Array; readonly torqueNm: Float64Array } {
  const { minNm, maxNm, binStartS, binWidthS } = curve;
  const isForTheEye = isLowPassed(curve);
  const torqueNm = isForTheEye
    ? curve.displayNm
    : minNm.map((least, index) => (least + (maxNm[index] ?? Number.NaN)) / 2);
  return {
    timeS: isForTheEye ? curve.displayTimeS : minNm.map((_, index) => binStartS + (index + 0.5) * binWidthS),
    torqueNm: sign === 1 ? torqueNm : torqueNm.map((value) => -value),
  };
}
