import type { TorqueUnit } from '../../api-contract.ts';
import type { SenseResult } from '../result-model.ts';
import { formatNumber, fromOwnUnit, THIN_SPACE, unitLabel } from '../../format-quantity.ts';

const MOST_DECIMALS = 4;

/** As many decimals as the smallest of the values needs for two significant digits (GUM 7.2.6); 0 where none tells. */
export function twoDigitDecimals(values: readonly (number | null)[]): number {
  const sizes = values.flatMap((value) => (value === null || value === 0 ? [] : [Math.abs(value)]));
  if (sizes.length === 0) return 0;
  return Math.min(Math.max(1 - Math.floor(Math.log10(Math.min(...sizes))), 0), MOST_DECIMALS);
}

/** A percentage by itself, with two significant digits and the sign that it has. */
export function percentWords(percent: number | null): string {
  return percent === null ? '–' : `${formatNumber(percent, twoDigitDecimals([percent]))}${THIN_SPACE}%`;
}

/** The last decimal of a torque is worth a tenth of its smallest expanded uncertainty, or less. */
export function resultDecimals(result: SenseResult, unit: TorqueUnit): number {
  const least = Math.min(...result.steps.map(({ atCalibration }) => atCalibration.expandedNm));
  if (!(least > 0)) return 1;
  const decimals = Math.ceil(-Math.log10(fromOwnUnit(least, unit) / 10) - 1e-9);
  return Math.min(Math.max(decimals, 0), MOST_DECIMALS);
}

export interface ResultTorque {
  /** "123.4 N·m" */
  readonly format: (torqueNm: number) => string;
  /** "123.4" */
  readonly number: (torqueNm: number) => string;
  readonly unitLabel: string;
}

/** Torque as it stands everywhere in the result of one sense, which has its sign. */
export function resultTorque(result: SenseResult, unit: TorqueUnit): ResultTorque {
  const decimals = resultDecimals(result, unit);
  const number = (torqueNm: number) => formatNumber(fromOwnUnit(Math.abs(torqueNm), unit), decimals);
  return {
    number,
    format: (torqueNm) => `${number(torqueNm)}${THIN_SPACE}${unitLabel(unit)}`,
    unitLabel: unitLabel(unit),
  };
}

/** A column of percentages with the same decimals in each row. */
export function percentColumn(values: readonly (number | null)[]): (value: number | null) => string {
  const decimals = twoDigitDecimals(
    values.map((value) => (value === null ? null : roundedUp(value, values))),
  );
  return (value) => (value === null ? '–' : formatNumber(value, decimals));
}

/** A value near nothing must not stretch its column: what is under a thousandth of the largest counts as that. */
function roundedUp(value: number, values: readonly (number | null)[]): number {
  const largest = Math.max(...values.map((other) => Math.abs(other ?? 0)));
  return Math.max(Math.abs(value), largest / 100);
}
