import { medianOf } from '../perf/statistics.ts';

export interface Point {
  readonly atS: number;
  readonly value: number;
}

/**
 * Slope per hour by the median of the slopes of all pairs (Theil and Sen), which a single look beside a burst of garbage
 * does not turn. NaN of fewer than two points.
 */
export function slopePerHour(points: readonly Point[]): number {
  const slopes = points.flatMap((one, index) =>
    points.slice(index + 1).map((other) => (other.value - one.value) / (other.atS - one.atS)),
  );
  return medianOf(slopes) * 3600;
}

/** A program that has just started still compiles and fills its caches: the first part of the run does not count. */
export function afterWarmUp(points: readonly Point[]): readonly Point[] {
  const endS = points.at(-1)?.atS ?? 0;
  const warmUpS = Math.min(300, endS / 4);
  return points.filter(({ atS }) => atS >= warmUpS);
}
