import type { TorqueUnit } from '../../../shared-lib/api-contract.ts';
import { formatTorque, fromOwnUnit } from '../../../shared-lib/format-quantity.ts';

const DIGITS = 5;

/** Torques of one run with the same decimals: five digits of the highest, which is more than weights can carry. */
export function levelTorqueFormat(
  levelsNm: readonly number[],
  unit: TorqueUnit,
): (torqueNm: number) => string {
  const highest = Math.max(0, ...levelsNm.map((torqueNm) => fromOwnUnit(torqueNm, unit)));
  const decimals = highest > 0 ? Math.min(Math.max(DIGITS - 1 - Math.floor(Math.log10(highest)), 0), 4) : 0;
  return (torqueNm) => formatTorque(torqueNm, unit, decimals);
}
