import type { TrialCurve } from '../../../shared-lib/api-contract.ts';
import type { AxisScale } from '../../../shared-lib/charts/axis-scale.ts';
import { type CurveColors, dashPatternAt } from '../../live-curve/curve-style.ts';
import { type CurveLayout, type LaidOut, middleOfBinS } from './curve-layout.ts';

export interface CurveChoice {
  readonly raw: boolean;
  readonly display: boolean;
  readonly measuring: boolean;
}

export interface TimeMark {
  readonly timeS: number;
  readonly label: string;
  /** The course of the run stands on the side of the curve's rest, faults across from it: they do not cover each other. */
  readonly isFault: boolean;
}

export interface TrialPicture extends LaidOut {
  readonly choice: CurveChoice;
  /** Onset, planned end and whatever else stands on the time line. */
  readonly marks: readonly TimeMark[];
  readonly unitLabel: string;
  readonly colorIndex: number;
  readonly colors: CurveColors;
}

type Context = CanvasRenderingContext2D;

const MEASURING_WIDTH_PX = 2.5;
const DISPLAY_WIDTH_PX = 1.5;
const MARK_PADDING_PX = 3;
/** Less than to the sides, so that a word leaves the curve at rest in sight. */
const MARK_PADDING_ABOVE_PX = 1;

/** The font of everything that is written in the picture. */
export function curveFont({ fontPx, colors }: Pick<TrialPicture, 'fontPx' | 'colors'>, weight = 400): string {
  return `${weight} ${fontPx}px ${colors.font}`;
}

/** The whole picture on an empty canvas, in CSS pixels. */
export function paintCurve(context: Context, picture: TrialPicture, layout: CurveLayout): void {
  const { choice, curve, colors } = picture;
  const { left, top, right, bottom } = layout;
  paintGrid(context, picture, layout);
  context.save();
  context.beginPath();
  context.rect(left, top, right - left, bottom - top);
  context.clip();
  context.lineJoin = 'bevel';
  if (choice.raw) paintBand(context, curve, layout, colors);
  if (choice.display) {
    context.strokeStyle = colors.ink;
    context.lineWidth = DISPLAY_WIDTH_PX;
    context.setLineDash(dashPatternAt(2));
    strokeCurve(context, curve.displayTimeS, curve.displayNm, layout);
    context.setLineDash([]);
  }
  if (choice.measuring) {
    context.strokeStyle = colors.curves[picture.colorIndex] ?? colors.ink;
    context.lineWidth = MEASURING_WIDTH_PX;
    strokeCurve(context, curve.measuringTimeS, curve.measuringNm, layout);
  }
  context.restore();
  paintMarks(context, picture, layout);
  paintTitles(context, picture, layout);
}

function paintGrid(context: Context, picture: TrialPicture, layout: CurveLayout): void {
  const { colors, fontPx, shownPerNm } = picture;
  const { left, top, right, bottom, time, torque, xOf, yOf } = layout;
  context.font = curveFont(picture);
  context.fillStyle = colors.ink;
  context.lineWidth = 1;
  context.textAlign = 'center';
  context.textBaseline = 'top';
  for (const { value, label } of time.ticks) {
    const x = xOf(value);
    strokeLine(context, colors.line, x, top, x, bottom);
    context.fillText(label, x, bottom + 0.5 * fontPx);
  }
  context.textAlign = 'right';
  context.textBaseline = 'middle';
  for (const { value, label } of torque.ticks) {
    const y = yOf(value / shownPerNm);
    strokeLine(context, value === 0 ? colors.lineStrong : colors.line, left, y, right, y);
    context.fillText(label, left - 0.4 * fontPx, y);
  }
  strokeLine(context, colors.lineStrong, left, top, left, bottom);
  strokeLine(context, colors.lineStrong, left, bottom, right, bottom);
}

/** On whole pixels, where a line of one pixel is sharp. */
function strokeLine(context: Context, color: string, x1: number, y1: number, x2: number, y2: number): void {
  context.strokeStyle = color;
  context.beginPath();
  context.moveTo(Math.round(x1) + 0.5, Math.round(y1) + 0.5);
  context.lineTo(Math.round(x2) + 0.5, Math.round(y2) + 0.5);
  context.stroke();
}

/**
 * Between the least and the greatest sample of each bin; nothing where samples were lost. Filled bin by bin on whole pixels:
 * where a browser paints by the processor, one outline with thousands of corners takes ten times as long.
 */
function paintBand(context: Context, curve: TrialCurve, layout: CurveLayout, colors: CurveColors): void {
  const { minNm, maxNm, binWidthS } = curve;
  const { xOf, yOf } = layout;
  const pxPerCssPx = devicePixelRatio;
  const onPixel = (x: number): number => Math.round(x * pxPerCssPx) / pxPerCssPx;
  context.fillStyle = colors.line;
  for (let bin = 0; bin < minNm.length; bin += 1) {
    const top = yOf(maxNm[bin] ?? Number.NaN);
    const height = yOf(minNm[bin] ?? Number.NaN) - top;
    if (!(height > 0)) continue;
    const middleS = middleOfBinS(curve, bin);
    const x = onPixel(xOf(middleS - binWidthS / 2));
    const width = Math.max(onPixel(xOf(middleS + binWidthS / 2)) - x, 1 / pxPerCssPx);
    context.fillRect(x, top, width, height);
  }
  const middlesS = maxNm.map((_, bin) => middleOfBinS(curve, bin));
  context.strokeStyle = colors.lineStrong;
  context.lineWidth = 1;
  strokeCurve(context, middlesS, minNm, layout);
  strokeCurve(context, middlesS, maxNm, layout);
}

/** Joined up between lost samples. */
function strokeCurve(
  context: Context,
  timeS: Float64Array,
  torqueNm: Float64Array,
  { xOf, yOf }: CurveLayout,
): void {
  context.beginPath();
  for (const { from, to } of presentRuns(torqueNm)) {
    for (let i = from; i < to; i += 1) {
      const x = xOf(timeS[i] ?? Number.NaN);
      const y = yOf(torqueNm[i] ?? Number.NaN);
      if (i === from) context.moveTo(x, y);
      else context.lineTo(x, y);
    }
  }
  context.stroke();
}

/** Stretches without NaN, from `from` up to, not including, `to`. */
export function presentRuns(values: Float64Array): { readonly from: number; readonly to: number }[] {
  const runs: { from: number; to: number }[] = [];
  let from = -1;
  values.forEach((value, index) => {
    if (Number.isNaN(value)) {
      if (from >= 0) runs.push({ from, to: index });
      from = -1;
    } else if (from < 0) {
      from = index;
    }
  });
  if (from >= 0) runs.push({ from, to: values.length });
  return runs;
}

/** A reverse trial rests at the top of its picture, a forward one at the foot. */
export function isAtTop(isFault: boolean, { min, max }: Pick<AxisScale, 'min' | 'max'>): boolean {
  const restsAtTop = -min > max;
  return isFault !== restsAtTop;
}

function paintMarks(context: Context, picture: TrialPicture, layout: CurveLayout): void {
  const { colors, fontPx, marks, window } = picture;
  const { left, right, top, bottom, torque, xOf } = layout;
  context.font = curveFont(picture, 700);
  context.textAlign = 'center';
  context.textBaseline = 'middle';
  for (const { timeS, label, isFault } of marks) {
    if (timeS < window.fromS || timeS > window.toS) continue;
    const x = xOf(timeS);
    context.setLineDash(dashPatternAt(2));
    strokeLine(context, colors.ink, x, top, x, bottom);
    context.setLineDash([]);
    const halfWidth = context.measureText(label).width / 2 + MARK_PADDING_PX;
    const halfHeight = fontPx * 0.6 + MARK_PADDING_ABOVE_PX;
    const labelX = Math.max(left + halfWidth, Math.min(x, right - halfWidth));
    const labelY = isAtTop(isFault, torque) ? top + halfHeight : bottom - halfHeight;
    context.fillStyle = colors.surface;
    context.fillRect(labelX - halfWidth, labelY - halfHeight, 2 * halfWidth, 2 * halfHeight);
    context.fillStyle = colors.ink;
    context.fillText(label, labelX, labelY);
  }
}

function paintTitles(context: Context, picture: TrialPicture, layout: CurveLayout): void {
  const { left, right, top, bottom } = layout;
  const { fontPx } = picture;
  context.font = curveFont(picture);
  context.fillStyle = picture.colors.inkSoft;
  context.textAlign = 'center';
  context.textBaseline = 'top';
  context.fillText('Time from onset, s', (left + right) / 2, bottom + 2.1 * fontPx);
  context.save();
  context.translate(0, (top + bottom) / 2);
  context.rotate(-Math.PI / 2);
  context.fillText(`Torque, ${picture.unitLabel} (forward positive)`, 0, 0.2 * fontPx);
  context.restore();
}
