import { assertNever } from '../assert-never.ts';
import { levelWords } from './drawing.ts';
import { formatDuration, formatNumber, formatTorque } from '../format-quantity.ts';
import { pointDecimals } from '../standings/words/point-decimals.ts';
import type { Chart, ChartLook, CurveChart, MeansChart, PlacesChart, ResidualsChart } from './chart-model.ts';
import { meanDecimals } from './mean-values.ts';
import { decimalsForCurves } from './torque-decimals.ts';

/** The picture in words, for those who do not see it, with what stands below it. */
export function describeChart(chart: Chart, torqueUnit: ChartLook['torqueUnit']): string {
  const words = [chart.subtitle, ...sentencesOf(chart, torqueUnit), ...chart.notes];
  return words
    .map((sentence) => sentence.trim())
    .filter((sentence) => sentence !== '')
    .join(' ');
}

function sentencesOf(chart: Chart, torqueUnit: ChartLook['torqueUnit']): string[] {
  switch (chart.kind) {
    case 'curves':
      return describeCurves(chart, torqueUnit);
    case 'means':
      return describeMeans(chart, torqueUnit);
    case 'places':
      return describePlaces(chart);
    case 'residuals':
      return describeResiduals(chart, torqueUnit);
    default:
      return assertNever(chart, 'Say how this kind of chart is drawn and described');
  }
}

function describeCurves(chart: CurveChart, unit: ChartLook['torqueUnit']): string[] {
  const { curves, plannedS, levels, checkpoints } = chart;
  const decimals = decimalsForCurves(chart, unit);
  const byName = [...Map.groupBy(curves, ({ label }) => label)];
  const names = byName.map(([name, runs]) => {
    const ends = runs.flatMap(({ timeS, torqueNm }) => {
      const last = torqueNm.findLastIndex(
        (torque, index) => Number.isFinite(torque) && (timeS[index] ?? 0) <= plannedS,
      );
      return last < 0 ? [] : [torqueNm[last] ?? 0];
    });
    const mean = ends.reduce((sum, torque) => sum + torque, 0) / ends.length;
    const end = ends.length === 0 ? 'nothing drawn' : `${formatTorque(mean, unit, decimals)} at the end`;
    return `${name} (${runs.length === 1 ? '1 run' : `${runs.length} runs`}), ${end}`;
  });
  return [
    names.length === 0
      ? 'No curve.'
      : `Torque over ${formatDuration(plannedS, plannedS % 1 === 0 ? 0 : 1)} from onset: ${names.join('; ')}.`,
    ...levels.map(({ torqueNm, label }) => `Level, ${levelWords(label, torqueNm, 'torque', unit)}.`),
    ...checkpoints.map(
      ({ atS, text, isClear }) => `At ${formatDuration(atS, 0)}: ${text}${isClear ? '' : ', not clear'}.`,
    ),
  ];
}

function describeMeans(chart: MeansChart, unit: ChartLook['torqueUnit']): string[] {
  const { rows, quantity, quantityWords, levels } = chart;
  const decimals = meanDecimals(chart, { torqueUnit: unit });
  const words = (value: number): string =>
    quantity === 'torque' ? formatTorque(value, unit, decimals) : formatDuration(value, decimals);
  const row = ({ label, mean, low, high, runs }: MeansChart['rows'][number]): string => {
    const interval = low === null || high === null ? '' : ` (95 % from ${words(low)} to ${words(high)})`;
    return `${label} ${words(mean)}${interval} in ${runs.length === 1 ? '1 run' : `${runs.length} runs`}`;
  };
  return [
    rows.length === 0 ? 'No row.' : `Mean ${quantityWords}: ${rows.map(row).join('; ')}.`,
    ...levels.map(({ value, label }) => `Level, ${levelWords(label, value, quantity, unit)}.`),
  ];
}

function describePlaces({ rows }: PlacesChart): string[] {
  const decimals = pointDecimals(rows.map(({ total }) => total));
  const row = ({ label, place, bestPlace, worstPlace, total }: PlacesChart['rows'][number]): string => {
    const range =
      bestPlace === null || worstPlace === null ? '' : ` (from place ${bestPlace} to ${worstPlace})`;
    return `${place}. ${label}${range}, ${formatNumber(total, decimals)} points`;
  };
  return [rows.length === 0 ? 'No row.' : `${rows.map(row).join('; ')}.`];
}

function describeResiduals({ senses }: ResidualsChart, unit: ChartLook['torqueUnit']): string[] {
  return senses.map(({ label, points, limits }) => {
    const greatest = Math.max(
      0,
      ...points.map(({ residualNm }) => Math.abs(residualNm)).filter(Number.isFinite),
    );
    const limit = limits.length === 0 ? '' : `; expanded uncertainty drawn at ${limits.length} torques`;
    return `${label}: ${points.length} readings, at most ${formatTorque(greatest, unit, 2)} from the fit${limit}.`;
  });
}
