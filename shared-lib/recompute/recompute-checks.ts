import { AppError } from '../app-error.ts';
import { checkMeansSchema, type DailyCheck, dailyCheckSchema } from '../calibration/daily-check-model.ts';
import { OUTSIDE_RANGE } from '../calibration/check-load.ts';
import { newReferenceReasonOf, readCheck, type ReadCheck } from '../calibration/read-check.ts';
import { compareValues, isNotEmpty, wayThatAgrees } from './compare-values.ts';
import { daysAt } from '../instants.ts';
import { NotAPackage } from './not-a-package.ts';
import { inOrderOfIds, type PackageTables } from './read-tables.ts';
import type { StoredCalibrations } from './stored-calibrations.ts';
import { reasonOf, type TableRow } from './table-row.ts';
import type { Tally } from './tally.ts';

/** Every daily check from its counts and its means, judged by the checks before it, in the order in which they were made. */
export function recomputeChecks(tables: PackageTables, calibrations: StoredCalibrations, tally: Tally): void {
  const earlierOf = new Map<string, DailyCheck[]>();
  for (const row of inOrderOfIds(tables.rows('daily_check'))) {
    const where = `daily check of ${row.text('at')}`;
    try {
      const check = toCheck(row);
      const earlier = earlierOf.get(check.calibrationId) ?? [];
      holdCheck(calibrations, { check, earlier, where }, tally);
      earlierOf.set(check.calibrationId, [check, ...earlier]);
    } catch (error) {
      if (error instanceof NotAPackage)
        tally.differ('daily checks', `${where}, ${error.where}`, error.message);
      else if (error instanceof AppError) {
        tally.differ('daily checks', where, `It cannot be computed again: ${error.message}`);
      } else throw error;
    }
  }
}

function holdCheck(
  calibrations: StoredCalibrations,
  {
    check,
    earlier,
    where,
  }: { readonly check: DailyCheck; readonly earlier: readonly DailyCheck[]; readonly where: string },
  tally: Tally,
): void {
  const { version, result } = calibrations.get(check.calibrationId);
  const { referenceNm, readingNm, errorNm, limitNm, verdict, reasons } = check;
  const said: ReadCheck = { referenceNm, readingNm, errorNm, limitNm, verdict, reasons };
  const ways = daysAt(check.at).map((today) =>
    readCheck({
      means: check.means,
      zeroCounts: check.zeroCounts,
      readingCounts: check.readingCounts,
      calibration: version,
      result,
      earlier,
      today,
      newReferenceReason: newReferenceReasonOf(check),
    }),
  );
  const everyWay = [...ways, ...ways.map(asBefore)];
  if (!isNotEmpty(everyWay)) return;
  const taken = wayThatAgrees(said, everyWay);
  if (!ways.includes(taken)) tally.note(where, REMARK_MISSING_WORDS);
  compareValues(tally, 'daily checks', { where }, said, taken);
}

const REMARK_MISSING_WORDS =
  'It makes no remark that it lies beyond the calibrated range. Earlier versions of the program made none; one that was taken out since would look the same.';

/** Earlier versions of the program did not remark on a load or a shunt beyond the calibrated range. */
function asBefore(check: ReadCheck): ReadCheck {
  return { ...check, reasons: check.reasons.filter(({ rule }) => rule !== OUTSIDE_RANGE) };
}

function toCheck(row: TableRow): DailyCheck {
  const check = dailyCheckSchema.safeParse({
    id: row.number('id'),
    transducerId: row.text('transducer_id'),
    calibrationId: row.text('calibration_id'),
    at: row.text('at'),
    operator: row.text('operator'),
    means: row.json('means_json', checkMeansSchema),
    zeroCounts: row.number('zero_counts'),
    readingCounts: row.number('reading_counts'),
    referenceNm: row.number('reference_nm'),
    readingNm: row.number('reading_nm'),
    errorNm: row.number('error_nm'),
    limitNm: row.numberOrNull('limit_nm'),
    verdict: row.text('verdict'),
    reasons: row.json('reasons_json', dailyCheckSchema.shape.reasons),
  });
  if (!check.success) throw new NotAPackage(row.where, reasonOf(check.error));
  return check.data;
}
