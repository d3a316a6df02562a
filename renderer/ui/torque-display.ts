import type { TorqueUnit } from '../../shared-lib/api-contract.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { formatNumber, formatTorque, fromOwnUnit, unitLabel } from '../../shared-lib/format-quantity.ts';
import { useSettings, useStatus } from '../api-client/ConnectionContext.tsx';

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

/** As many decimals as carry meaning: the last one shown is worth a tenth of the uncertainty at capacity, or less. */
export function torqueDecimals(unit: TorqueUnit, capacityNm: number, uncertaintyPercent: number): number {
  const uncertainty = fromOwnUnit((capacityNm * uncertaintyPercent) / 100, unit);
  const decimals = Math.ceil(-Math.log10(uncertainty / 10) - 1e-9);
  return Math.min(Math.max(decimals, 0), MAX_DECIMALS);
}

export function torqueDisplay(unit: TorqueUnit, status: BenchStatus | null): TorqueDisplay {
  const { calibration } = status ?? { calibration: null };
  const stated = calibration?.foundUncertaintyPercent ?? calibration?.enteredUncertaintyPercent ?? 0;
  const decimals = torqueDecimals(
    unit,
    status?.transducer?.capacityNm ?? UNSTATED_CAPACITY_NM,
    stated > 0 ? Math.max(stated, LEAST_UNCERTAINTY_PERCENT) : UNSTATED_UNCERTAINTY_PERCENT,
  );
  return {
    unit,
    unitLabel: unitLabel(unit),
    decimals,
    format: (torqueNm) => formatTorque(torqueNm, unit, decimals),
    formatNumber: (torqueNm) => formatNumber(fromOwnUnit(torqueNm, unit), decimals),
  };
}

/** How torque is shown at this moment, the same in every place. */
export function useTorqueDisplay(): TorqueDisplay {
  const settings = useSettings();
  const status = useStatus();
  return torqueDisplay(settings?.torqueUnit ?? 'Nm', status);
}
