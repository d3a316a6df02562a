import { formatNumber } from '../format-quantity.ts';

export interface Tick {
  readonly value: number;
  readonly label: string;
}

/** An axis in the unit in which it is shown. `min` < `max`, all ticks between them. */
export interface AxisScale {
  readonly min: number;
  readonly max: number;
  readonly ticks: readonly Tick[];
}

export interface Extent {
  readonly min: number;
  readonly max: number;
}

/** Beyond this numbers are none that a picture could place. */
const GREATEST = 1e300;
/** Less than this is zero for a picture. */
export const LEAST_DRAWN = 1e-300;
/** Around the outermost values. */
const ROOM_SHARE = 0.04;
const stepHeads = [1, 2, 2.5, 5, 10] as const;

export function isDrawable(value: number): boolean {
  return Math.abs(value) <= GREATEST;
}

/** The least and the greatest of those that can be drawn; null: none. */
export function extentOf(values: Iterable<number>): Extent | null {
  let [min, max] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const value of values) {
    if (!isDrawable(value)) continue;
    if (value < min) min = value;
    if (value > max) max = value;
  }
  return min <= max ? { min, max } : null;
}

export function joinExtents(...extents: readonly (Extent | null)[]): Extent | null {
  return extentOf(extents.flatMap((extent) => (extent === null ? [] : [extent.min, extent.max])));
}

/** With some room around the values; it ends at zero where they do or where zero is asked for. */
export function axisAround(
  extent: Extent | null,
  options: { readonly mostTicks: number; readonly fromZero: boolean },
): AxisScale {
  if (extent === null) return axisBetween(0, 1, options.mostTicks);
  const { min, max } = options.fromZero
    ? { min: Math.min(extent.min, 0), max: Math.max(extent.max, 0) }
    : extent;
  const size = Math.max(Math.abs(min), Math.abs(max));
  if (size < LEAST_DRAWN) return axisBetween(0, 1, options.mostTicks);
  if (max - min <= size * 1e-9) {
    return axisBetween(min - size * ROOM_SHARE, max + size * ROOM_SHARE, options.mostTicks);
  }
  const room = (max - min) * ROOM_SHARE;
  return axisBetween(min === 0 ? 0 : min - room, max === 0 ? 0 : max + room, options.mostTicks);
}

/** Exactly these ends, with ticks at round values. */
export function axisBetween(min: number, max: number, mostTicks: number): AxisScale {
  let step = roundStep((max - min) / Math.max(mostTicks, 1));
  // One label alone tells nothing of the scale.
  while (countOf(min, max, step) < 2) step = roundStep(step / 2.5);
  const first = Math.ceil(min / step - 1e-9);
  const last = Math.floor(max / step + 1e-9);
  const format = tickFormat(step, Math.max(Math.abs(min), Math.abs(max)));
  return {
    min,
    max,
    ticks: Array.from({ length: Math.max(last - first + 1, 0) }, (_, index) => {
      // Adding 0 turns -0 into 0.
      const value = (first + index) * step + 0;
      return { value, label: format(value) };
    }),
  };
}

function countOf(min: number, max: number, step: number): number {
  return Math.floor(max / step + 1e-9) - Math.ceil(min / step - 1e-9) + 1;
}

/** 1, 2, 5 or, from 25 on, 2.5 times a power of ten, at least `raw`. */
function roundStep(raw: number): number {
  const exponent = Math.floor(Math.log10(raw));
  const decade = 10 ** exponent;
  const head =
    stepHeads.find(
      // A quarter needs a decimal more than its neighbours, but for whole numbers.
      (candidate) => candidate * decade >= raw * (1 - 1e-9) && (candidate !== 2.5 || decade >= 10),
    ) ?? 10;
  return head * decade;
}

/** As many decimals as the step needs; very large and very small numbers with a power of ten. */
function tickFormat(step: number, size: number): (value: number) => string {
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  if (size >= 1e7 || decimals > 6) {
    const digits = Math.max(0, Math.floor(Math.log10(size) + 1e-9) - Math.floor(Math.log10(step) + 1e-9));
    return (value) =>
      value === 0
        ? '0'
        : value.toExponential(Math.min(digits, 6)).replace('e+', 'e').replaceAll('-', '\u2212');
  }
  return (value) => formatNumber(value, decimals);
}

/** Where a value of one axis stands between two px. */
export function placeOn({ min, max }: Extent, fromPx: number, toPx: number): (value: number) => number {
  const pxPerUnit = (toPx - fromPx) / (max - min);
  return (value) => (isDrawable(value) ? fromPx + (value - min) * pxPerUnit : Number.NaN);
}
