import { median } from './order-statistics.ts';

/** Samples that were stamped one by one, put on the even clock that they were taken by. */
export interface EvenTimes {
  readonly sampleRateHz: number;
  /** Of each sample, from 0; a slot that none has is a lost sample. */
  readonly slots: Int32Array;
  readonly slotCount: number;
  /** Of slot 0. */
  readonly startS: number;
}

export interface TimesProblem {
  readonly problem: string;
  /** The sample at which it shows. */
  readonly index: number;
}

/** A longer step is a gap; only shorter ones say what a period is. */
const SINGLE_STEP = 1.6;
/** How far a time may lie from the even clock, as a share of the period (ours). */
const TOLERANCE = 0.25;
const MOST_LOST_SHARE = 0.5;

/**
 * The even clock behind the times of samples in order. The period is that of the longest stretch without a gap, then of the
 * least squares line of times against slots over all; a whole number of samples a second is taken where it explains every time
 * as far as they were written (`resolutionS`: the value of their last digit).
 *
 * A problem: fewer than two times, times that do not rise, a time a quarter of a period or more off the even clock, and more
 * lost samples than those that are there. Nothing is moved or filled in.
 */
export function evenTimes(timesS: Float64Array, resolutionS: number): EvenTimes | TimesProblem {
  const n = timesS.length;
  if (n < 2) return { problem: 'one time alone has no rate', index: n - 1 };
  const steps = timesS.subarray(1).map((time, index) => time - (timesS[index] ?? Number.NaN));
  const falling = steps.findIndex((step) => !(step > 0));
  if (falling >= 0) {
    return {
      problem:
        steps[falling] === 0 ? 'the time is the same as on the line before' : 'the time runs backwards',
      index: falling + 1,
    };
  }
  const periodS = periodOfLongestStretch(timesS, steps);
  const slots = new Int32Array(n);
  for (let i = 1; i < n; i += 1) {
    const periods = Math.round((steps[i - 1] ?? Number.NaN) / periodS);
    if (periods < 1) return { problem: describeUneven(steps[i - 1] ?? 0, periodS), index: i };
    const slot = (slots[i - 1] ?? 0) + periods;
    if (slot > 2 * n) {
      return { problem: 'more samples are lost up to here than there are in the file', index: i };
    }
    slots[i] = slot;
  }
  const slotCount = (slots[n - 1] ?? 0) + 1;
  if (n < (1 - MOST_LOST_SHARE) * slotCount) {
    return { problem: 'more samples are lost up to here than there are in the file', index: n - 1 };
  }

  const line = fitLine(slots, timesS);
  const whole = wholeRate(1 / line.periodS, timesS, slots, resolutionS);
  const { sampleRateHz, startS } = whole ?? { sampleRateHz: 1 / line.periodS, startS: line.startS };
  for (let i = 0; i < n; i += 1) {
    const offS = (timesS[i] ?? Number.NaN) - startS - (slots[i] ?? 0) / sampleRateHz;
    if (!(Math.abs(offS) < TOLERANCE / sampleRateHz)) {
      return { problem: describeUneven(steps[Math.max(0, i - 1)] ?? 0, 1 / sampleRateHz), index: i };
    }
  }
  return { sampleRateHz, slots, slotCount, startS };
}

function describeUneven(stepS: number, periodS: number): string {
  return (
    `the times are uneven: a step of ${stepS.toPrecision(4)} s where the period is ${periodS.toPrecision(4)} s, and no time may ` +
    'lie a quarter of a period off the even clock'
  );
}

function periodOfLongestStretch(timesS: Float64Array, steps: Float64Array): number {
  const longestSingle = SINGLE_STEP * median(steps);
  let [best, bestLength, start] = [0, 0, 0];
  for (let i = 0; i <= steps.length; i += 1) {
    if ((steps[i] ?? Number.POSITIVE_INFINITY) <= longestSingle) continue;
    if (i - start > bestLength) [best, bestLength] = [start, i - start];
    start = i + 1;
  }
  const [fromS, toS] = [timesS[best] ?? Number.NaN, timesS[best + bestLength] ?? Number.NaN];
  return (toS - fromS) / bestLength;
}

function fitLine(slots: Int32Array, timesS: Float64Array): { startS: number; periodS: number } {
  const meanSlot = slots.reduce((sum, slot) => sum + slot, 0) / slots.length;
  const meanS = timesS.reduce((sum, time) => sum + time, 0) / timesS.length;
  let [squares, products] = [0, 0];
  for (let i = 0; i < slots.length; i += 1) {
    const away = (slots[i] ?? 0) - meanSlot;
    squares += away ** 2;
    products += away * ((timesS[i] ?? Number.NaN) - meanS);
  }
  const periodS = products / squares;
  return { startS: meanS - periodS * meanSlot, periodS };
}

/** The whole rate nearest to the fitted one, where every time is its own, rounded to the last digit written; else null. */
function wholeRate(
  fittedHz: number,
  timesS: Float64Array,
  slots: Int32Array,
  resolutionS: number,
): { sampleRateHz: number; startS: number } | null {
  const sampleRateHz = Math.round(fittedHz);
  if (sampleRateHz < 1) return null;
  let [least, greatest, farthestS] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0];
  for (let i = 0; i < timesS.length; i += 1) {
    const timeS = timesS[i] ?? Number.NaN;
    const startS = timeS - (slots[i] ?? 0) / sampleRateHz;
    least = Math.min(least, startS);
    greatest = Math.max(greatest, startS);
    farthestS = Math.max(farthestS, Math.abs(timeS));
  }
  // A double has some 16 digits; what is written with fewer is not held to more.
  if (greatest - least > resolutionS + 16 * Number.EPSILON * farthestS) return null;
  return { sampleRateHz, startS: timesS[0] ?? Number.NaN };
}
