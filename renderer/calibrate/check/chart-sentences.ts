import type { ControlChart, DailyCheck } from '../../../shared-lib/calibration/daily-check-model.ts';
import { BASELINE_CHECKS } from '../../../shared-lib/calibration/judge-daily-check.ts';
import { formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import { percentWords, twoDigitDecimals } from '../../../shared-lib/calibration/words/result-figures.ts';

export const chartTitles: Readonly<Record<ControlChart['kind'], string>> = {
  individuals: 'Each check',
  ewma: 'Slow change',
};

/** How the limits come about, for who wants to check them. */
export const chartRules: Readonly<Record<ControlChart['kind'], string>> = {
  individuals: `Centre ± 2.66 mean moving ranges (3 divided by d2 = 1.128) of the first ${BASELINE_CHECKS} checks.`,
  ewma: `Weighted mean of all checks so far, the newest with 0.2; limits at 2.9 of its standard deviations, from the first ${BASELINE_CHECKS} checks.`,
};

/** A control chart in words: how many points, where the newest lies, which were outside. */
export function chartSummary(chart: ControlChart, formatWhen: (at: string) => string): string {
  const { points, centre, kind } = chart;
  const newest = points.at(-1);
  if (newest === undefined) return `${chartTitles[kind]}: no checks yet.`;
  const decimals = twoDigitDecimals([newest.upper - newest.lower]);
  const number = (value: number) => formatNumber(value, decimals);
  const outside = points.filter(({ isOutside }) => isOutside);
  const where =
    outside.length === 0
      ? 'All lie inside their limits'
      : `${outside.length} of them ${outside.length === 1 ? 'lies' : 'lie'} outside: ${outside.map(({ at }) => formatWhen(at)).join('; ')}`;
  return (
    `${chartTitles[kind]}: ${points.length} checks about ${number(centre)}${THIN_SPACE}%. ${where}. ` +
    `The newest is ${number(newest.value)}${THIN_SPACE}%, limits ${number(newest.lower)} to ${number(newest.upper)}${THIN_SPACE}%.`
  );
}

export interface ErrorPoint {
  readonly at: string;
  readonly errorPercent: number;
  readonly limitPercent: number | null;
  readonly isFailed: boolean;
}

/** Errors against their limits, oldest first, in percent of what should have been read. */
export function errorPoints(checks: readonly DailyCheck[]): ErrorPoint[] {
  return checks
    .filter(({ verdict, referenceNm }) => verdict !== 'reference' && referenceNm !== 0)
    .toReversed()
    .map(({ at, errorNm, referenceNm, limitNm, verdict }) => ({
      at,
      errorPercent: (100 * errorNm) / Math.abs(referenceNm),
      limitPercent: limitNm === null ? null : (100 * limitNm) / Math.abs(referenceNm),
      isFailed: verdict === 'failed',
    }));
}

export function errorSummary(points: readonly ErrorPoint[]): string {
  const newest = points.at(-1);
  if (newest === undefined) return 'No checks yet under this calibration.';
  const failed = points.filter(({ isFailed }) => isFailed).length;
  const checks = points.length === 1 ? '1 check' : `${points.length} checks`;
  const limit =
    newest.limitPercent === null
      ? ''
      : `, where up to ${percentWords(newest.limitPercent)} either way may be`;
  return (
    `${checks} under this calibration, ${failed === 0 ? 'none failed' : `${failed} failed`}. ` +
    `The newest reads ${percentWords(Math.abs(newest.errorPercent))} ${newest.errorPercent < 0 ? 'too little' : 'too much'}${limit}.`
  );
}
