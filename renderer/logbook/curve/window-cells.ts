import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import {
  finer,
  type ShownQuantity,
  shownQuantities,
  type TorqueUnitDisplay,
} from '../../../shared-lib/trial/words/shown-quantity.ts';
import { formatInstant } from './read-curve.ts';

export interface WindowCell {
  readonly name: string;
  readonly value: string;
}

/** The figures of a window in words, torque signed as the curve is. */
export function windowCells(
  result: RequestResult<'getWindowFigures'>,
  stepS: number,
  torque: TorqueUnitDisplay,
): WindowCell[] {
  const shown = shownQuantities(torque);
  const { fromS, toS, sampleCount, lostCount } = result;
  const words = (value: number | null, { format }: ShownQuantity) =>
    value === null ? 'none' : format(value);
  const lost = lostCount === 0 ? '' : `, ${formatNumber(lostCount, 0)} lost`;
  return [
    { name: 'From', value: formatInstant(fromS, stepS) },
    { name: 'To', value: formatInstant(toS, stepS) },
    { name: 'Mean', value: words(result.meanNm, shown.torque) },
    { name: 'Least', value: words(result.leastNm, shown.torque) },
    { name: 'Greatest', value: words(result.greatestNm, shown.torque) },
    { name: 'Standard deviation', value: words(result.standardDeviationNm, finer(shown.torque)) },
    { name: 'Impulse', value: words(result.impulseNms, shown.impulse) },
    { name: 'Samples', value: `${formatNumber(sampleCount, 0)}${lost}` },
  ];
}
