import { fromOwnUnit } from '../format-quantity.ts';
import { extentOf, joinExtents, LEAST_DRAWN } from './axis-scale.ts';
import type { ChartLook, CurveChart } from './chart-model.ts';

/** Of the greatest torque in a picture; with fewer, small torques that differ would read alike (ours). */
const FIGURES = 3;
const MOST_DECIMALS = 3;

/** As many decimals as give the greatest of some torques three figures; the same for all of them, so that they can be compared. */
export function decimalsForTorques(torquesNm: Iterable<number>, unit: ChartLook['torqueUnit']): number {
  const extent = extentOf(torquesNm);
  if (extent === null) return 0;
  const greatest = Math.abs(fromOwnUnit(Math.max(Math.abs(extent.min), Math.abs(extent.max)), unit));
  if (greatest < LEAST_DRAWN) return 0;
  const exponent = Math.floor(Math.log10(greatest) + 1e-9);
  return Math.min(MOST_DECIMALS, Math.max(0, FIGURES - 1 - exponent));
}

/** For every torque that is told of these curves, whatever part of them is drawn; levels have figures of their own. */
export function decimalsForCurves(
  { curves, plannedS }: Pick<CurveChart, 'curves' | 'plannedS'>,
  unit: ChartLook['torqueUnit'],
): number {
  const drawn = curves.map(({ timeS, torqueNm }) =>
    extentOf(torqueNm.filter((_, index) => (timeS[index] ?? Infinity) <= plannedS)),
  );
  const all = joinExtents(...drawn);
  return decimalsForTorques(all === null ? [] : [all.min, all.max], unit);
}
