import { snugRange, ticksOf, type ValueRange } from '../../live-curve/value-range.ts';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import { tickDecimals } from '../../ui/picture/picture-scale.ts';

/** Of the drawing; on the screen it takes the width there is. */
export interface PictureSize {
  readonly width: number;
  readonly height: number;
}

export interface Tick {
  readonly value: number;
  readonly label: string;
}

/** The edges of the plot and where values stand in it. */
export interface PictureFrame {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  readonly size: PictureSize;
  readonly xTicks: readonly Tick[];
  readonly yTicks: readonly Tick[];
  readonly toX: (value: number) => number;
  readonly toY: (value: number) => number;
}

export const FONT_PX = 13;
/** Of one line of labels. */
export const LINE_PX = 18;
/** Of Inter, on average; a label may be a little narrower than its column. */
const CHARACTER_PX = FONT_PX * 0.58;

export interface FrameRequest {
  readonly size: PictureSize;
  readonly x: ValueRange;
  readonly y: ValueRange;
  /** The longest label at the right edge of the plot; empty: none. */
  readonly longestLabel: string;
  /** Instead of round numbers. */
  readonly xTicks?: readonly Tick[];
  readonly yTicks?: readonly Tick[];
  /** Two pictures above each other share their edges, whatever their numbers. */
  readonly left?: number;
}

export function pictureFrame(request: FrameRequest): PictureFrame {
  const { size, x, y, longestLabel } = request;
  const yTicks = request.yTicks ?? numberTicks(y);
  const widest = Math.max(...yTicks.map(({ label }) => label.length), 0);
  const left = request.left ?? FONT_PX + LINE_PX + 8 + widest * CHARACTER_PX;
  const labelWidth = longestLabel === '' ? FONT_PX : 42 + longestLabel.length * CHARACTER_PX;
  const edges = { left, right: size.width - labelWidth, top: LINE_PX, bottom: size.height - 2 * LINE_PX - 8 };
  return {
    ...edges,
    size,
    xTicks: request.xTicks ?? numberTicks(x),
    yTicks,
    toX: (value) => edges.left + ((value - x.min) / (x.max - x.min)) * (edges.right - edges.left),
    toY: (value) => edges.bottom - ((value - y.min) / (y.max - y.min)) * (edges.bottom - edges.top),
  };
}

export function numberTicks(range: ValueRange): Tick[] {
  const decimals = tickDecimals(range.step);
  return ticksOf(range).map((value) => ({ value, label: formatNumber(value, decimals) }));
}

/** From zero to a round top, with a sliver below for noise around zero. */
export function rangeFromZero(values: readonly number[]): ValueRange {
  const finite = values.filter(Number.isFinite);
  const extent = finite.reduce(
    ({ min, max }, value) => ({ min: Math.min(min, value), max: Math.max(max, value) }),
    {
      min: 0,
      max: 0,
    },
  );
  return snugRange(extent, 1);
}

const stepHeads = [1, 2, 5, 10] as const;
/** Along an axis that is wider than it is high. */
const MOST_STEPS = 8;

/** The values themselves as the edges, so that a picture is as wide as what it shows. */
export function exactRange(min: number, max: number): ValueRange {
  if (!(max > min)) return { min: min - 0.5, max: max + 0.5, step: 0.5 };
  const decade = 10 ** Math.floor(Math.log10((max - min) / MOST_STEPS));
  const head = stepHeads.find((candidate) => (max - min) / (candidate * decade) <= MOST_STEPS) ?? 10;
  return { min, max, step: head * decade };
}

/** To a tenth of a pixel, which keeps the drawing short. */
export function px(value: number): number {
  return Math.round(value * 10) / 10;
}

/** Joins points; a NaN breaks the line. */
export function linePath(
  points: readonly { readonly x: number; readonly y: number }[],
  frame: PictureFrame,
): string {
  let isDown = false;
  let path = '';
  for (const { x, y } of points) {
    if (!Number.isFinite(x) || !Number.isFinite(y)) {
      isDown = false;
      continue;
    }
    path += `${isDown ? 'L' : 'M'}${px(frame.toX(x))} ${px(frame.toY(y))}`;
    isDown = true;
  }
  return path;
}
