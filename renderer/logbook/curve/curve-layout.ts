import type { TrialCurve } from '../../../shared-lib/api-contract.ts';
import { axisBetween, type AxisScale, placeOn } from '../../../shared-lib/charts/axis-scale.ts';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import { snugRange, ticksOf, type ValueRange } from '../../live-curve/value-range.ts';
import type { CurveWindow } from './curve-window.ts';

/** Where times and torques stand in the picture, in CSS pixels from its upper left corner. */
export interface CurveMapping {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
  readonly xOf: (timeS: number) => number;
  readonly yOf: (torqueNm: number) => number;
  readonly timeAt: (x: number) => number;
}

export interface CurveLayout extends CurveMapping {
  /** Seconds from onset. */
  readonly time: AxisScale;
  /** In the shown unit. */
  readonly torque: AxisScale;
}

export interface LaidOut {
  readonly curve: TrialCurve;
  readonly window: CurveWindow;
  readonly shownPerNm: number;
  readonly fontPx: number;
}

export interface PictureSize {
  readonly widthPx: number;
  readonly heightPx: number;
}

/** Room around the plot, in sizes of its type: a line of title, and the numbers with what keeps them apart. */
const TITLE_EM = 1.6;
const NUMBER_GAP_EM = 0.4;
const NUMBERS_BELOW_EM = 1.8;
const ABOVE_EM = 0.6;
/** Numbers along the time axis are at least so far apart. */
const TIME_APART_EM = 6;
/** Of a curve that is zero all along. */
const LEAST_TOP = 1e-3;

/** `widthOf`: how wide a number is in the type of the picture, in CSS pixels. */
export function layOutCurve(
  { curve, window, shownPerNm, fontPx }: LaidOut,
  { widthPx, heightPx }: PictureSize,
  widthOf: (text: string) => number,
): CurveLayout {
  const range = snugRange(extentOf(curve, shownPerNm), LEAST_TOP);
  const torque = torqueScale(range);
  const widestPx = Math.max(...torque.ticks.map(({ label }) => widthOf(label)));
  const left = Math.ceil(TITLE_EM * fontPx + widestPx + 2 * NUMBER_GAP_EM * fontPx);
  // The last number of the time axis stands half beside the plot.
  const right = Math.max(widthPx - fontPx, left + 1);
  const top = ABOVE_EM * fontPx;
  const bottom = Math.max(heightPx - (NUMBERS_BELOW_EM + TITLE_EM) * fontPx, top + 1);
  const yOf = placeOn(torque, bottom, top);
  return {
    left,
    top,
    right,
    bottom,
    time: axisBetween(window.fromS, window.toS, Math.floor((right - left) / (TIME_APART_EM * fontPx))),
    torque,
    xOf: placeOn({ min: window.fromS, max: window.toS }, left, right),
    yOf: (torqueNm) => yOf(torqueNm * shownPerNm),
    timeAt: (x) => window.fromS + ((x - left) / (right - left)) * (window.toS - window.fromS),
  };
}

/** The middle between the first and the last sample of each bin, so that a bin of one sample stands where the sample does. */
export function middleOfBinS({ binStartS, binWidthS, sampleRateHz }: TrialCurve, bin: number): number {
  return binStartS + (binWidthS - 1 / sampleRateHz) / 2 + bin * binWidthS;
}

function torqueScale(range: ValueRange): AxisScale {
  const decimals = decimalsOf(range.step);
  return {
    min: range.min,
    max: range.max,
    ticks: ticksOf(range).map((value) => ({ value, label: formatNumber(value, decimals) })),
  };
}

function decimalsOf(step: number): number {
  return String(Number(step.toFixed(6))).split('.')[1]?.length ?? 0;
}

/** Of the raw curve, so that the axis stays when curves are switched on and off. */
function extentOf({ minNm, maxNm }: TrialCurve, shownPerNm: number): { min: number; max: number } {
  let min = 0;
  let max = 0;
  for (const value of minNm) if (value < min) min = value;
  for (const value of maxNm) if (value > max) max = value;
  return { min: min * shownPerNm, max: max * shownPerNm };
}
