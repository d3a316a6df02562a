import type { TorqueUnit } from './api-contract.ts';
import { formatTorque, fromOwnUnit } from './format-quantity.ts';

/** Nobody enters a level to more than a tenth. */
const LEVEL_DECIMALS = 1;
/** What a stored level loses on its way through another unit. */
const ROUNDING = 1e-6;

/** Whether a level is a figure that somebody would enter in this unit: whole, or with one decimal. */
export function isRoundLevel(levelNm: number, unit: TorqueUnit): boolean {
  const shown = fromOwnUnit(levelNm, unit) * 10 ** LEVEL_DECIMALS;
  return Math.abs(shown - Math.round(shown)) < ROUNDING * Math.max(shown, 1);
}

/**
 * A level in the chosen unit; one that is only round in the other stands there with that behind it, because it is the
 * other that is measured: "73.8 ft·lbf (100 N·m)".
 */
export function levelWords(levelNm: number, unit: TorqueUnit): string {
  const inUnit = (shownUnit: TorqueUnit, decimals: number) => formatTorque(levelNm, shownUnit, decimals);
  if (isRoundLevel(levelNm, unit)) return inUnit(unit, decimalsOf(levelNm, unit));
  const other: TorqueUnit = unit === 'Nm' ? 'ftLbf' : 'Nm';
  if (!isRoundLevel(levelNm, other)) return inUnit(unit, LEVEL_DECIMALS);
  return `${inUnit(unit, LEVEL_DECIMALS)} (${inUnit(other, decimalsOf(levelNm, other))})`;
}

function decimalsOf(levelNm: number, unit: TorqueUnit): number {
  const shown = fromOwnUnit(levelNm, unit);
  return Math.abs(shown - Math.round(shown)) < ROUNDING * Math.max(shown, 1) ? 0 : LEVEL_DECIMALS;
}
