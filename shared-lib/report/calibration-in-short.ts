import type { RequestResult } from '../api-contract.ts';
import type { DailyCheck } from '../calibration/daily-check-model.ts';
import { topUncertaintyPercent } from '../calibration/uncertainty-at.ts';
import {
  methodWords,
  operatorWords,
  versionUncertaintyWords,
} from '../calibration/words/calibration-sentences.ts';
import { checkedWithWords, verdictInTable } from '../calibration/words/check-words.ts';
import { resultTorque } from '../calibration/words/result-figures.ts';
import { classWords, senseTitles, uncertaintySummary } from '../calibration/words/result-sentences.ts';
import { validityRows } from '../calibration/words/validity-rows.ts';
import { formatNumber, THIN_SPACE } from '../format-quantity.ts';
import { displayTorque, type TorqueDisplay } from '../torque-display.ts';
import { facts, type ReportSection, type Row, section } from './report-blocks.ts';
import type { ReportContext } from './report-context.ts';

export type CalibrationReport = RequestResult<'getCalibrationReport'>;

/** Calibrations behind trials: what each can bear, and whether its daily check stood when they were pulled. */
export function calibrationsSection(
  calibrations: readonly CalibrationReport[],
  { firstAt, lastAt }: { readonly firstAt: string; readonly lastAt: string },
  context: ReportContext,
): ReportSection[] {
  const heading = calibrations.length === 1 ? 'Calibration' : 'Calibrations';
  return section(
    heading,
    calibrations.map((calibration) => facts(calibrationRows(calibration, { firstAt, lastAt }, context))),
  );
}

function calibrationRows(
  calibration: CalibrationReport,
  { firstAt, lastAt }: { readonly firstAt: string; readonly lastAt: string },
  context: ReportContext,
): Row[] {
  const { version, result, checks } = calibration;
  const { formatInstant, torqueUnit } = context;
  const bySense = (result?.senses ?? []).flatMap((sense): Row[] => {
    const torque = resultTorque(sense, torqueUnit);
    return [
      {
        name: `Class, ${sense.sense}`,
        value: classWords(sense, torque),
        note: sense.classification.reason.sentence,
      },
      { name: `${senseTitles[sense.sense]}, uncertainty`, value: uncertaintySummary(sense, 'bench', torque) },
    ];
  });
  return [
    { name: 'Calibration', value: version.label },
    {
      name: 'Made',
      value: `${formatInstant(version.createdAt)}, ${operatorWords(version.operator)}; from ${methodWords(version.method)}`,
    },
    ...bySense,
    ...(bySense.length === 0 ? [{ name: 'Uncertainty', value: versionUncertaintyWords(version) }] : []),
    ...validityRows(calibration, { day: (day) => day.slice(0, 10), instant: formatInstant }),
    { name: 'Daily check before', value: checkBefore(checks, firstAt, formatInstant) },
    ...checksBetween(checks, firstAt, lastAt, formatInstant),
    { name: 'Identity', value: version.id },
  ];
}

function checkBefore(
  checks: readonly DailyCheck[],
  firstAt: string,
  formatInstant: (instant: string) => string,
): string {
  const before = inOrder(checks).findLast(({ at }) => at <= firstAt);
  return before === undefined ? 'none under this calibration' : checkInWords(before, formatInstant);
}

/** Those that fell between the first and the last trial: one that failed then is what makes them suspect. */
function checksBetween(
  checks: readonly DailyCheck[],
  firstAt: string,
  lastAt: string,
  formatInstant: (instant: string) => string,
): Row[] {
  const between = inOrder(checks).filter(({ at }) => at > firstAt && at <= lastAt);
  if (between.length === 0) return [];
  return [
    {
      name: 'Daily checks between',
      value: between.map((check) => checkInWords(check, formatInstant)).join('; '),
    },
  ];
}

function inOrder(checks: readonly DailyCheck[]): DailyCheck[] {
  return checks.toSorted((one, other) => one.at.localeCompare(other.at));
}

function checkInWords(check: DailyCheck, formatInstant: (instant: string) => string): string {
  const error = errorPercent(check);
  return `${formatInstant(check.at)}: ${verdictInTable(check).toLowerCase()}, ${checkedWithWords(check)}${error}`;
}

function errorPercent({ errorNm, limitNm, referenceNm }: DailyCheck): string {
  if (referenceNm === 0) return '';
  const percent = (valueNm: number) => formatNumber((100 * valueNm) / Math.abs(referenceNm), 2);
  const limit = limitNm === null ? '' : ` of at most ±${percent(limitNm)}${THIN_SPACE}%`;
  return `, error ${percent(errorNm)}${THIN_SPACE}%${limit}`;
}

/** Torque with the digits that these calibrations bear; the worst of them decides. */
export function torqueOf(
  unit: ReportContext['torqueUnit'],
  capacityNm: number | null,
  calibrations: readonly Pick<CalibrationReport, 'version' | 'result'>[],
): TorqueDisplay {
  const stated = calibrations.map(
    ({ version, result }) => topUncertaintyPercent(result) ?? version.enteredUncertaintyPercent,
  );
  const known = stated.filter((percent) => percent !== null);
  return displayTorque(
    unit,
    capacityNm,
    known.length === 0 || known.length < stated.length ? null : Math.max(...known),
  );
}
