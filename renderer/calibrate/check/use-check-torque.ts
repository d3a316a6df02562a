import type { DailyCheck } from '../../../shared-lib/calibration/daily-check-model.ts';
import { formatTorque, fromOwnUnit } from '../../../shared-lib/format-quantity.ts';
import { useTorqueDisplay } from '../../ui/torque-display.ts';

const MOST_DECIMALS = 4;

/** Decimals so that the limit of the error shows two digits (GUM 7.2.6), and the torque of it beside it does too. */
export function checkDecimals(
  { limitNm, errorNm }: Pick<DailyCheck, 'limitNm' | 'errorNm'>,
  perNm: number,
): number {
  const size = Math.abs(limitNm ?? errorNm) * perNm;
  if (size === 0) return 2;
  return Math.min(Math.max(1 - Math.floor(Math.log10(size)), 0), MOST_DECIMALS);
}

export function useCheckTorque(check: DailyCheck): (torqueNm: number) => string {
  const { unit } = useTorqueDisplay();
  const decimals = checkDecimals(check, fromOwnUnit(1, unit));
  return (torqueNm) => formatTorque(torqueNm, unit, decimals);
}
