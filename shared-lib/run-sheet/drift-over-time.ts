import type { Distributions } from '../calibration/distributions.ts';
import { formatNumber, formatTorqueInBothUnits, THIN_SPACE, unitLabel } from '../format-quantity.ts';
import type { Drift } from './session-model.ts';

/**
 * A drift is flagged where an interval of so much confidence leaves out zero. A session looks for two (zero and reference
 * tool), and a day without any is to be flagged by neither in at least 19 of 20: two intervals of 95 % would not do.
 * `npm run drift-study` says what it flags on simulated days.
 */
export const FLAG_CONFIDENCE = 0.98;
const SHOWN_CONFIDENCE = 0.95;
/** Two points always lie on a line. */
const FEWEST_POINTS = 3;

export interface PointInTime {
  readonly hours: number;
  readonly value: number;
}

export interface DriftWords {
  /** At the start of a sentence: "The zero", "The reference tool". */
  readonly what: string;
  readonly unit: string;
  readonly decimals: number;
}

/**
 * The slope of a least-squares line over time, per hour, with its 95 % interval by Student's t (n - 2 degrees of freedom);
 * it takes the scatter about the line for independent. Null with fewer than three points, or all at one time.
 */
export function driftOverTime(
  points: readonly PointInTime[],
  distributions: Distributions,
  words: DriftWords,
): Drift | null {
  const count = points.length;
  if (count < FEWEST_POINTS) return null;
  const meanHours = points.reduce((sum, { hours }) => sum + hours, 0) / count;
  const meanValue = points.reduce((sum, { value }) => sum + value, 0) / count;
  const spread = points.reduce((sum, { hours }) => sum + (hours - meanHours) ** 2, 0);
  if (!(spread > 0)) return null;
  const perHour =
    points.reduce((sum, { hours, value }) => sum + (hours - meanHours) * (value - meanValue), 0) / spread;
  const squares = points.reduce(
    (sum, { hours, value }) => sum + (value - meanValue - perHour * (hours - meanHours)) ** 2,
    0,
  );
  const standardError = Math.sqrt(squares / (count - 2) / spread);
  const halfAt = (confidence: number): number =>
    distributions.studentTQuantile((1 + confidence) / 2, count - 2) * standardError;
  const half = halfAt(SHOWN_CONFIDENCE);
  // Values that are all alike leave a slope of mere rounding, with an interval as narrow.
  const largest = Math.max(...points.map(({ value }) => Math.abs(value)));
  const isMoreThanRounding = Math.abs(perHour) * Math.sqrt(spread) > 1e-9 * largest;
  const drift = {
    perHour,
    lowPerHour: perHour - half,
    highPerHour: perHour + half,
    pointCount: count,
    isFlagged: isMoreThanRounding && Math.abs(perHour) > halfAt(FLAG_CONFIDENCE),
  };
  return { ...drift, sentence: sentenceOf(drift, words) };
}

/**
 * The drift of the reference tool in percent of its mean torque per hour, from its kept pulls. Null with fewer than three, or
 * a mean that is not positive.
 */
export function referenceDrift(
  pulls: readonly { readonly hours: number; readonly sustainedTorqueNm: number }[],
  distributions: Distributions,
): Drift | null {
  const meanNm = pulls.reduce((sum, { sustainedTorqueNm }) => sum + sustainedTorqueNm, 0) / pulls.length;
  if (!(meanNm > 0)) return null;
  return driftOverTime(
    pulls.map(({ hours, sustainedTorqueNm }) => ({
      hours,
      value: 100 * (sustainedTorqueNm / meanNm - 1),
    })),
    distributions,
    { what: 'The reference tool', unit: '%', decimals: 2 },
  );
}

function sentenceOf(drift: Omit<Drift, 'sentence'>, { what, unit, decimals }: DriftWords): string {
  const { perHour, lowPerHour, highPerHour, pointCount, isFlagged } = drift;
  const amount = (value: number): string =>
    unit === unitLabel('Nm')
      ? formatTorqueInBothUnits(value, decimals)
      : `${formatNumber(value, decimals)}${THIN_SPACE}${unit}`;
  const signed = (value: number): string => (value > 0 ? `+${amount(value)}` : amount(value));
  const found = `${signed(perHour)} per hour (95${THIN_SPACE}%: ${signed(lowPerHour)} to ${signed(highPerHour)}, from ${pointCount} values)`;
  if (isFlagged) {
    return `${what} drifted: ${found}, more than chance makes likely. Look for the cause, and compare setups within rounds rather than across the day.`;
  }
  const hidden = Math.max(Math.abs(lowPerHour), Math.abs(highPerHour));
  return `${what} shows no drift that could not be chance: ${found}. One of up to ${amount(hidden)} per hour could still hide in the scatter.`;
}
