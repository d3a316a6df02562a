import type { TrialCurve } from '../../../shared-lib/api-contract.ts';
import { formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import type { TorqueDisplay } from '../../../shared-lib/torque-display.ts';

/** What the curve shows at one instant; null: there is nothing, because of lost samples or since the record does not reach so far. */
export interface CurveReading {
  readonly timeS: number;
  readonly measuringNm: number | null;
  /** Least and greatest of the raw samples that the picture folds into one step; the same where that is one sample. */
  readonly raw: { readonly leastNm: number; readonly greatestNm: number } | null;
}

/** Shape: `measuringTimeS` rising; bins as the contract has them. Torque in N·m, signed as the curve. */
export function readCurve(curve: TrialCurve, timeS: number): CurveReading {
  return { timeS, measuringNm: measuringAt(curve, timeS), raw: rawAt(curve, timeS) };
}

/** On the straight line between the two values around the instant, and none across a gap. */
function measuringAt({ measuringTimeS, measuringNm }: TrialCurve, timeS: number): number | null {
  const after = firstNotBefore(measuringTimeS, timeS);
  const timeAfter = measuringTimeS[after];
  const valueAfter = measuringNm[after];
  if (timeAfter === undefined || valueAfter === undefined) return null;
  if (timeAfter === timeS) return Number.isNaN(valueAfter) ? null : valueAfter;
  const timeBefore = measuringTimeS[after - 1];
  const valueBefore = measuringNm[after - 1];
  if (timeBefore === undefined || valueBefore === undefined) return null;
  const value = valueBefore + ((timeS - timeBefore) / (timeAfter - timeBefore)) * (valueAfter - valueBefore);
  return Number.isNaN(value) ? null : value;
}

function rawAt(
  { binStartS, binWidthS, sampleRateHz, minNm, maxNm }: TrialCurve,
  timeS: number,
): CurveReading['raw'] {
  // A bin's samples stand at their instants, the first at its beginning: what is nearest begins half a sample earlier.
  const bin = Math.floor((timeS - binStartS + 0.5 / sampleRateHz) / binWidthS);
  const leastNm = minNm[bin];
  const greatestNm = maxNm[bin];
  if (leastNm === undefined || greatestNm === undefined || Number.isNaN(leastNm)) return null;
  return { leastNm, greatestNm };
}

/** Index of the first time that is not before `timeS`; the length where there is none. */
function firstNotBefore(timesS: Float64Array, timeS: number): number {
  let low = 0;
  let high = timesS.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((timesS[middle] ?? Infinity) < timeS) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** As many decimals as the step of the picture carries, two at least: "1.234 s". */
export function formatInstant(timeS: number, stepS: number): string {
  const decimals = Math.min(Math.max(Math.ceil(-Math.log10(stepS)), 2), 5);
  return `${formatNumber(timeS, decimals)}${THIN_SPACE}s`;
}

export interface ReadingWords {
  readonly time: string;
  readonly measuring: string;
  readonly raw: string;
}

/** The read-out of the cursor. `torque` null: the figures of the trial are still hidden, and so is the torque. */
export function readingWords(
  { timeS, measuringNm, raw }: CurveReading,
  stepS: number,
  torque: Pick<TorqueDisplay, 'format' | 'formatNumber'> | null,
): ReadingWords {
  const time = formatInstant(timeS, stepS);
  if (torque === null) return { time, measuring: 'hidden', raw: 'hidden' };
  return {
    time,
    measuring: measuringNm === null ? 'none here' : torque.format(measuringNm),
    raw:
      raw === null
        ? 'none here'
        : raw.leastNm === raw.greatestNm
          ? torque.format(raw.leastNm)
          : `${torque.formatNumber(raw.leastNm)} to ${torque.format(raw.greatestNm)}`,
  };
}
