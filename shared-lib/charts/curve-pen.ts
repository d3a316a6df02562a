import { type AxisScale, placeOn } from './axis-scale.ts';
import type { Box } from './chart-frame.ts';
import { type Curve, cutPoints, endOfCurve, pointsOfCurve } from './curve-points.ts';

export interface PlotOfCurves {
  readonly plot: Box;
  readonly fromS: number;
  readonly toS: number;
  /** Of torque, in the unit in which it is shown. */
  readonly scale: AxisScale;
  readonly shownPerNm: number;
  /** Null: the whole curves. */
  readonly untilS: number | null;
}

/** Draws curves into one plot, as far as they have come. */
export interface CurvePen {
  readonly toX: (timeS: number) => number;
  readonly toY: (torqueNm: number) => number;
  points(curve: Curve): Float64Array;
  /** Where it has come to; null: nowhere yet. */
  head(curve: Curve): { readonly xPx: number; readonly yPx: number } | null;
}

/**
 * Points of a curve in a plot of one size, from its upper left corner. A replay draws the same curves thirty times a second, and small
 * plots are all alike; so they are kept as long as the curve itself, which is never changed.
 */
const thinned = new WeakMap<Curve, Map<string, Float64Array>>();
const MOST_SIZES = 4;

export function createCurvePen({ plot, fromS, toS, scale, shownPerNm, untilS }: PlotOfCurves): CurvePen {
  const [widthPx, heightPx] = [plot.rightPx - plot.leftPx, plot.bottomPx - plot.topPx];
  const times = { min: fromS, max: toS };
  const toX = placeOn(times, plot.leftPx, plot.rightPx);
  const toShownY = placeOn(scale, plot.bottomPx, plot.topPx);
  const toY = (torqueNm: number): number => toShownY(torqueNm * shownPerNm);
  const size = [widthPx, heightPx, fromS, toS, scale.min, scale.max, shownPerNm]
    .map((part) => part.toPrecision(9))
    .join(' ');
  const untilX = untilS === null ? null : toX(untilS);

  const fromCorner = (curve: Curve): Float64Array => {
    const known = thinned.get(curve) ?? new Map<string, Float64Array>();
    const before = known.get(size);
    if (before !== undefined) return before;
    const shownY = placeOn(scale, heightPx, 0);
    const points = pointsOfCurve(curve, placeOn(times, 0, widthPx), (torqueNm) =>
      shownY(torqueNm * shownPerNm),
    );
    if (known.size >= MOST_SIZES) known.clear();
    known.set(size, points);
    thinned.set(curve, known);
    return points;
  };

  return {
    toX,
    toY,
    points(curve) {
      const points = fromCorner(curve).map(
        (point, place) => point + (place % 2 === 0 ? plot.leftPx : plot.topPx),
      );
      return untilX === null ? points : cutPoints(points, untilX);
    },
    head(curve) {
      const end = endOfCurve(curve, untilS ?? Number.POSITIVE_INFINITY);
      return end === null ? null : { xPx: toX(end.timeS), yPx: toY(end.torqueNm) };
    },
  };
}
