import { fromOwnUnit } from '../format-quantity.ts';
import { isDrawable } from './axis-scale.ts';
import type { ChartLook, MeansChart } from './chart-model.ts';
import { decimalsForTorques } from './torque-decimals.ts';

type Row = MeansChart['rows'][number];
type Unit = Pick<ChartLook, 'torqueUnit'>;

/** In the unit in which it is shown. */
export function shownMean(
  { quantity }: Pick<MeansChart, 'quantity'>,
  { torqueUnit }: Unit,
  value: number,
): number {
  return quantity === 'torque' ? fromOwnUnit(value, torqueUnit) : value;
}

/** The longer side of the interval, as shown; null: none, or none that a number could say. */
export function halfOfMean(
  chart: Pick<MeansChart, 'quantity'>,
  { mean, low, high }: Row,
  unit: Unit,
): number | null {
  if (low === null || high === null) return null;
  const half = Math.max(shownMean(chart, unit, high - mean), shownMean(chart, unit, mean - low));
  return isDrawable(half) ? half : null;
}

/**
 * As many decimals as the narrowest interval bears, two figures of a half-width that begins with 1 or 2; without any interval as many
 * as give the greatest mean three figures. The picture and its words have the same.
 */
export function meanDecimals(chart: Pick<MeansChart, 'quantity' | 'rows'>, unit: Unit): number {
  const halves = chart.rows.flatMap((row) => halfOfMean(chart, row, unit) ?? []).filter((half) => half > 0);
  if (halves.length === 0) {
    if (chart.quantity === 'time') return 2;
    return decimalsForTorques(
      chart.rows.map(({ mean }) => mean),
      unit.torqueUnit,
    );
  }
  const narrowest = Math.min(...halves);
  const exponent = Math.floor(Math.log10(narrowest));
  const figures = narrowest / 10 ** exponent < 3 ? 1 : 0;
  return Math.min(3, Math.max(0, figures - exponent));
}
