import type { ComparedTrial } from '../../../shared-lib/comparison/comparison-model.ts';
import type { CurvePoint } from '../../live-curve/earlier-curve.ts';

/** A run of A or B with its curve, in N·m and positive in the direction of the step, from onset. */
export interface AlignedRun {
  readonly trialId: string;
  readonly side: 'a' | 'b';
  readonly points: readonly CurvePoint[];
}

/** Instants of a mean curve; more are not seen at the width of a screen. */
const MEAN_INSTANTS = 240;

/** Those of A and B that take part, in the order in which they were pulled; one that
 * never reached its value has a curve too, a reference pull is none of them. */
export function runsOfPair(
  trials: readonly ComparedTrial[],
  a: string,
  b: string,
): { readonly trialId: string; readonly side: 'a' | 'b' }[] {
  return trials.flatMap(
    ({ trialId, contenderKey, leftOutBecause, isReference }): { trialId: string; side: 'a' | 'b' }[] => {
      if (leftOutBecause !== null || isReference || (contenderKey !== a && contenderKey !== b)) return [];
      return [{ trialId, side: contenderKey === a ? 'a' : 'b' }];
    },
  );
}

/** The newest of each side, so that neither is crowded out, in their order. */
export function newestOfEach<Run extends { readonly side: 'a' | 'b' }>(
  runs: readonly Run[],
  most: number,
): Run[] {
  const kept = new Set(
    (['a', 'b'] as const).flatMap((side) =>
      runs.filter((run) => run.side === side).slice(-Math.floor(most / 2)),
    ),
  );
  return runs.filter((run) => kept.has(run));
}

/** The mean of several curves at even instants, where every one of them has a value; NaN elsewhere. */
export function meanCurve(
  curves: readonly (readonly CurvePoint[])[],
  fromS: number,
  toS: number,
): CurvePoint[] {
  if (curves.length === 0) return [];
  return Array.from({ length: MEAN_INSTANTS + 1 }, (_, index) => {
    const x = fromS + ((toS - fromS) * index) / MEAN_INSTANTS;
    const sum = curves.reduce((total, points) => total + valueAt(points, x), 0);
    return { x, y: sum / curves.length };
  });
}

/** On the straight line between the points around it; NaN outside of them and in a gap. */
export function valueAt(points: readonly CurvePoint[], x: number): number {
  let low = 0;
  let high = points.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((points[middle]?.x ?? Number.NaN) <= x) low = middle;
    else high = middle;
  }
  const [before, after] = [points[low], points[high]];
  if (before === undefined || after === undefined || x < before.x || x > after.x) return Number.NaN;
  if (after.x === before.x) return before.y;
  return before.y + ((x - before.x) / (after.x - before.x)) * (after.y - before.y);
}

/** What lies in the picture, with one point beyond each edge left out. */
export function within(points: readonly CurvePoint[], fromS: number, toS: number): CurvePoint[] {
  return points.filter(({ x }) => x >= fromS && x <= toS);
}

/** The same run of both beside each other: first with first, second with second; the longer side goes on alone. */
export function runPairs(
  runs: readonly AlignedRun[],
): { readonly a: AlignedRun | null; readonly b: AlignedRun | null }[] {
  const ofA = runs.filter(({ side }) => side === 'a');
  const ofB = runs.filter(({ side }) => side === 'b');
  return Array.from({ length: Math.max(ofA.length, ofB.length) }, (_, index) => ({
    a: ofA[index] ?? null,
    b: ofB[index] ?? null,
  }));
}
