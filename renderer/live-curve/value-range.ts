/** The vertical extent of the picture, in the shown unit, on round numbers. */
export interface ValueRange {
  readonly min: number;
  readonly max: number;
  readonly step: number;
}

/** What must be in the picture. */
export interface Extent {
  readonly min: number;
  readonly max: number;
}

// Round tops and the step that divides each of them into four to six parts.
const roundTops = [
  { top: 1, step: 0.2 },
  { top: 1.5, step: 0.25 },
  { top: 2, step: 0.5 },
  { top: 3, step: 0.5 },
  { top: 4, step: 1 },
  { top: 5, step: 1 },
  { top: 6, step: 1 },
  { top: 8, step: 2 },
  { top: 10, step: 2 },
] as const;

/** Room on the far side of zero, so that noise around zero stays in sight. */
const FAR_SIDE_SHARE = 0.06;
/** While a curve grows, a new range leaves this much room, so that the axis moves seldom. */
const GROWTH_ROOM = 1.5;
/** A range is given up for a smaller one only when less than this share of it is used. */
const SHRINK_BELOW = 0.4;

/**
 * The smallest round range around `extent` and zero.
 *
 * Shape: `leastTop` > 0 is the smallest top there may be, so that noise does not fill the screen.
 */
export function snugRange(extent: Extent, leastTop: number): ValueRange {
  const up = Math.max(extent.max, 0);
  const down = Math.max(-extent.min, 0);
  const { top, step } = roundTopFor(Math.max(up, down, leastTop));
  const far = top * FAR_SIDE_SHARE;
  // Noise below zero does not turn the picture over: only what has no room on the far side does.
  return up >= down || down <= far
    ? { min: down > far ? -ceilTo(down, step) : -far, max: top, step }
    : { min: -top, max: up > far ? ceilTo(up, step) : far, step };
}

/** The next range in calm steps: the same as long as it holds the extent and is not far too large. */
export function followRange(current: ValueRange | null, extent: Extent, leastTop: number): ValueRange {
  const snug = snugRange(extent, leastTop);
  if (current === null) return snug;
  const isHeld = extent.min >= current.min && extent.max <= current.max;
  if (!isHeld) {
    return snugRange({ min: extent.min * GROWTH_ROOM, max: extent.max * GROWTH_ROOM }, leastTop);
  }
  return snug.max - snug.min < SHRINK_BELOW * (current.max - current.min) ? snug : current;
}

/** Every multiple of the step inside the range. */
export function ticksOf({ min, max, step }: ValueRange): number[] {
  const first = Math.ceil(min / step - 1e-9);
  const last = Math.floor(max / step + 1e-9);
  // Adding 0 turns -0 into 0.
  return Array.from({ length: last - first + 1 }, (_, index) => (first + index) * step + 0);
}

function roundTopFor(value: number): { readonly top: number; readonly step: number } {
  const decade = 10 ** Math.floor(Math.log10(value) + 1e-12);
  const found = roundTops.find(({ top }) => top * decade >= value * (1 - 1e-12));
  const { top, step } = found ?? { top: 10, step: 2 };
  return { top: top * decade, step: step * decade };
}

function ceilTo(value: number, step: number): number {
  return Math.ceil(value / step - 1e-9) * step;
}
