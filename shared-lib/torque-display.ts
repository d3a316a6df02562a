import type { TorqueUnit } from './api-contract.ts';
import { formatNumber, formatTorque, fromOwnUnit, unitLabel } from './format-quantity.ts';

export interface TorqueDisplay {
  readonly unit: TorqueUnit;
  readonly unitLabel: string;
  readonly decimals: number;
  /** "123.4 N·m" */
  readonly format: (torqueNm: number) => string;
  /** "123.4", for a column or a figure whose unit stands beside it. */
  readonly formatNumber: (torqueNm: number) => string;
}

/** Where nothing is stated, a percent of capacity is taken, which is what a bench without a report may hope for (ours). */
const UNSTATED_UNCERTAINTY_PERCENT = 1;

/** Better than this a static calibration is not under blows, whose error it does not know; more digits would claim it (ours). */
const LEAST_UNCERTAINTY_PERCENT = 0.1;

const UNSTATED_CAPACITY_NM = 1000;

const MAX_DECIMALS = 3;

/** Torque with as many decimals as its calibration bears; null where no capacity or no uncertainty is stated. */
export function displayTorque(
  unit: TorqueUnit,
  capacityNm: number | null,
  statedPercent: number | null,
): TorqueDisplay {
  const decimals = torqueDecimals(
    unit,
    capacityNm ?? UNSTATED_CAPACITY_NM,
    statedPercent !== null && statedPercent > 0
      ? Math.max(statedPercent, LEAST_UNCERTAINTY_PERCENT)
      : UNSTATED_UNCERTAINTY_PERCENT,
  );
  return {
    unit,
    unitLabel: unitLabel(unit),
    decimals,
    format: (torqueNm) => formatTorque(torqueNm, unit, decimals),
    formatNumber: (torqueNm) => formatNumber(fromOwnUnit(torqueNm, unit), decimals),
  };
}

/** As many decimals as carry meaning: the last one shown is worth a tenth of the uncertainty at capacity, or less. */
export function torqueDecimals(unit: TorqueUnit, capacityNm: number, uncertaintyPercent: number): number {
  const uncertainty = fromOwnUnit((capacityNm * uncertaintyPercent) / 100, unit);
  const decimals = Math.ceil(-Math.log10(uncertainty / 10) - 1e-9);
  return Math.min(Math.max(decimals, 0), MAX_DECIMALS);
}
