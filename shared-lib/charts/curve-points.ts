import { isDrawable } from './axis-scale.ts';
import type { CurveChart } from './chart-model.ts';

export type Curve = Pick<CurveChart['curves'][number], 'timeS' | 'torqueNm'>;

/** Off the drawn line by no more than this, px; less is not seen. */
const TOLERANCE_PX = 0.3;
/** Instants of a mean curve; more are not seen at the width of a picture. */
const MEAN_INSTANTS = 300;

/** The part between two times, with values on the edges where the curve crosses them; what cannot be drawn is NaN. */
export function curveBetween({ timeS, torqueNm }: Curve, fromS: number, toS: number): Curve {
  const times: number[] = [];
  const torques: number[] = [];
  const take = (time: number, torque: number): void => {
    times.push(time);
    torques.push(isDrawable(torque) ? torque : Number.NaN);
  };
  let [lastTime, lastTorque] = [Number.NaN, Number.NaN];
  for (let index = 0; index < timeS.length; index += 1) {
    const time = timeS[index] ?? Number.NaN;
    const torque = torqueNm[index] ?? Number.NaN;
    if (!isDrawable(time)) continue;
    const at = (edgeS: number): number =>
      lastTorque + ((edgeS - lastTime) / (time - lastTime)) * (torque - lastTorque);
    if (lastTime < fromS && time > fromS) take(fromS, at(fromS));
    if (time >= fromS && time <= toS) take(time, torque);
    if (lastTime < toS && time > toS) take(toS, at(toS));
    [lastTime, lastTorque] = [time, torque];
  }
  return { timeS: Float64Array.from(times), torqueNm: Float64Array.from(torques) };
}

/** The mean of several curves at even instants where each of them has a value; NaN elsewhere. */
export function meanOfCurves(curves: readonly Curve[], fromS: number, toS: number): Curve {
  const timeS = Float64Array.from(
    { length: MEAN_INSTANTS + 1 },
    (_, index) => fromS + ((toS - fromS) * index) / MEAN_INSTANTS,
  );
  const torqueNm = new Float64Array(timeS.length);
  for (const curve of curves) addValues(curve, timeS, torqueNm);
  return { timeS, torqueNm: torqueNm.map((sum) => sum / curves.length) };
}

/** Adds the curve's values at rising instants; on the straight line between its points, NaN outside of them. */
function addValues({ timeS, torqueNm }: Curve, atS: Float64Array, sums: Float64Array): void {
  let place = 0;
  atS.forEach((instant, index) => {
    while (place + 1 < timeS.length && (timeS[place + 1] ?? 0) < instant) place += 1;
    const [before, after] = [timeS[place] ?? Number.NaN, timeS[place + 1] ?? Number.NaN];
    const [low, high] = [torqueNm[place] ?? Number.NaN, torqueNm[place + 1] ?? Number.NaN];
    const value =
      instant === before
        ? low
        : instant > before && instant <= after
          ? low + ((instant - before) / (after - before)) * (high - low)
          : Number.NaN;
    sums[index] = (sums[index] ?? 0) + value;
  });
}

export interface CurveEnd {
  readonly timeS: number;
  readonly torqueNm: number;
}

/** The last instant at which there is a value, up to a time: on the line to the next one where the curve goes on. Null: there is none. */
export function endOfCurve({ timeS, torqueNm }: Curve, untilS = Number.POSITIVE_INFINITY): CurveEnd | null {
  const last = lastUpTo(timeS, untilS);
  for (let index = last; index >= 0; index -= 1) {
    const [time, torque] = [timeS[index] ?? Number.NaN, torqueNm[index] ?? Number.NaN];
    if (Number.isNaN(torque)) continue;
    const [nextTime, nextTorque] = [timeS[index + 1], torqueNm[index + 1]];
    if (index !== last || nextTime === undefined || nextTorque === undefined || Number.isNaN(nextTorque)) {
      return { timeS: time, torqueNm: torque };
    }
    const share = (untilS - time) / (nextTime - time);
    return { timeS: untilS, torqueNm: torque + share * (nextTorque - torque) };
  }
  return null;
}

/** Of rising times the last one that is not later; -1: none. */
function lastUpTo(timeS: Float64Array, untilS: number): number {
  let [low, high] = [-1, timeS.length];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((timeS[middle] ?? Number.NaN) <= untilS) low = middle;
    else high = middle;
  }
  return low;
}

/** Points of a picture up to an x, with one on it where the line crosses it. */
export function cutPoints(points: Float64Array, untilX: number): Float64Array {
  const kept: number[] = [];
  for (let place = 0; place + 1 < points.length; place += 2) {
    const [x, y] = [points[place] ?? Number.NaN, points[place + 1] ?? Number.NaN];
    if (x > untilX) {
      const [beforeX, beforeY] = [points[place - 2] ?? Number.NaN, points[place - 1] ?? Number.NaN];
      const crossing = beforeY + ((untilX - beforeX) / (x - beforeX)) * (y - beforeY);
      if (!Number.isNaN(crossing)) kept.push(untilX, crossing);
      break;
    }
    kept.push(x, y);
  }
  return Float64Array.from(kept);
}

/** As points of the picture, x and y by turns, without those that a line through the others passes closely enough. */
export function pointsOfCurve(
  { timeS, torqueNm }: Curve,
  toX: (timeS: number) => number,
  toY: (torqueNm: number) => number,
): Float64Array {
  const points: number[] = [];
  let stretch: Point[] = [];
  const end = (): void => {
    if (stretch.length === 0) return;
    if (points.length > 0) points.push(Number.NaN, Number.NaN);
    pushThinned(stretch, points);
    stretch = [];
  };
  for (let index = 0; index < timeS.length; index += 1) {
    const point: Point = { x: toX(timeS[index] ?? Number.NaN), y: toY(torqueNm[index] ?? Number.NaN) };
    if (Number.isFinite(point.x) && Number.isFinite(point.y)) stretch.push(point);
    else end();
  }
  end();
  return Float64Array.from(points);
}

/** Keeps the last point from which a line to each that follows passes all between closely enough. */
function pushThinned(stretch: readonly Point[], points: number[]): void {
  const [first] = stretch;
  if (first === undefined) return;
  let [pivot, last] = [first, first];
  let [lowest, highest] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
  points.push(first.x, first.y);
  for (const point of stretch.slice(1)) {
    let cone = coneOf(pivot, point);
    if (last !== pivot && !(cone.slope >= lowest && cone.slope <= highest)) {
      points.push(last.x, last.y);
      pivot = last;
      cone = coneOf(pivot, point);
      [lowest, highest] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
    }
    lowest = Math.max(lowest, cone.low);
    highest = Math.min(highest, cone.high);
    last = point;
  }
  if (last !== first) points.push(last.x, last.y);
}

interface Point {
  readonly x: number;
  readonly y: number;
}

/** Slopes from a point under which a line passes another closely enough; points above each other are all kept. */
function coneOf(
  from: Point,
  to: Point,
): { readonly slope: number; readonly low: number; readonly high: number } {
  const dx = to.x - from.x;
  if (!(dx > 1e-9))
    return { slope: Number.NaN, low: Number.POSITIVE_INFINITY, high: Number.NEGATIVE_INFINITY };
  const dy = to.y - from.y;
  return { slope: dy / dx, low: (dy - TOLERANCE_PX) / dx, high: (dy + TOLERANCE_PX) / dx };
}
