import {
  type CheckMeans,
  checkMeansSchema,
  type DailyCheck,
  dailyCheckSchema,
} from '../../shared-lib/calibration/daily-check-model.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { fromJsonColumn, toJsonColumn } from './json-column.ts';

interface CheckRow {
  id: number;
  transducer_id: string;
  calibration_id: string;
  at: string;
  operator: string;
  means_json: string;
  zero_counts: number;
  reading_counts: number;
  reference_nm: number;
  reading_nm: number;
  error_nm: number;
  limit_nm: number | null;
  verdict: string;
  reasons_json: string;
}

const reasonsSchema = dailyCheckSchema.shape.reasons;

/** Checks only grow: what a check found stays beside the trials it bears on. */
export function insertCheck(database: WritableDatabase, check: Omit<DailyCheck, 'id'>): DailyCheck {
  return writing(database, () => {
    const { lastInsertRowid } = database
      .prepare(
        `INSERT INTO daily_check (transducer_id, calibration_id, at, operator, means_json, zero_counts, reading_counts,
           reference_nm, reading_nm, error_nm, limit_nm, verdict, reasons_json)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
      )
      .run(
        check.transducerId,
        check.calibrationId,
        check.at,
        check.operator,
        toJsonColumn(checkMeansSchema, check.means),
        check.zeroCounts,
        check.readingCounts,
        check.referenceNm,
        check.readingNm,
        check.errorNm,
        check.limitNm,
        check.verdict,
        toJsonColumn(reasonsSchema, check.reasons),
      );
    return { ...check, id: Number(lastInsertRowid) };
  });
}

/** Under one calibration, newest first. */
export function listChecks(database: ReadableDatabase, calibrationId: string): DailyCheck[] {
  return reading(() =>
    database
      .prepare<[string], CheckRow>(
        `SELECT id, transducer_id, calibration_id, at, operator, means_json, zero_counts, reading_counts, reference_nm,
           reading_nm, error_nm, limit_nm, verdict, reasons_json
         FROM daily_check WHERE calibration_id = ? ORDER BY id DESC`,
      )
      .all(calibrationId)
      .map(toCheck),
  );
}

/** What the transducer was checked with last, under whatever calibration; null: never. */
export function newestMeans(database: ReadableDatabase, transducerId: string): CheckMeans | null {
  return reading(() => {
    const row = database
      .prepare<[string], { id: number; means_json: string }>(
        `SELECT id, means_json FROM daily_check WHERE transducer_id = ? ORDER BY id DESC LIMIT 1`,
      )
      .get(transducerId);
    return row === undefined
      ? null
      : fromJsonColumn(checkMeansSchema, row.means_json, `means of check ${row.id}`);
  });
}

export interface CheckStanding {
  readonly openFailureAt: string | null;
  readonly lastPassedAt: string | null;
  readonly lastOverloadAt: string | null;
  readonly newestCheckId: number | null;
}

/** What the checks of a calibration come to at this moment. */
export function readCheckStanding(database: ReadableDatabase, calibrationId: string): CheckStanding {
  return reading(() => {
    const standing = database
      .prepare<[{ calibrationId: string }], CheckStanding>(
        `SELECT
           (SELECT failed_at FROM suspect_window WHERE calibration_id = @calibrationId AND until = '9999'
            ORDER BY check_id DESC LIMIT 1) AS openFailureAt,
           (SELECT max(at) FROM daily_check WHERE calibration_id = @calibrationId AND verdict = 'passed')
             AS lastPassedAt,
           (SELECT max(at) FROM overload WHERE calibration_id = @calibrationId) AS lastOverloadAt,
           (SELECT max(id) FROM daily_check WHERE calibration_id = @calibrationId) AS newestCheckId`,
      )
      .get({ calibrationId });
    return standing ?? { openFailureAt: null, lastPassedAt: null, lastOverloadAt: null, newestCheckId: null };
  });
}

export function insertOverload(
  database: WritableDatabase,
  overload: {
    readonly transducerId: string;
    readonly calibrationId: string;
    readonly at: string;
    readonly torqueNm: number;
  },
): void {
  writing(database, () => {
    database
      .prepare('INSERT INTO overload (transducer_id, calibration_id, at, torque_nm) VALUES (?, ?, ?, ?)')
      .run(overload.transducerId, overload.calibrationId, overload.at, overload.torqueNm);
  });
}

function toCheck(row: CheckRow): DailyCheck {
  return dailyCheckSchema.parse({
    id: row.id,
    transducerId: row.transducer_id,
    calibrationId: row.calibration_id,
    at: row.at,
    operator: row.operator,
    means: fromJsonColumn(checkMeansSchema, row.means_json, `means of check ${row.id}`),
    zeroCounts: row.zero_counts,
    readingCounts: row.reading_counts,
    referenceNm: row.reference_nm,
    readingNm: row.reading_nm,
    errorNm: row.error_nm,
    limitNm: row.limit_nm,
    verdict: row.verdict,
    reasons: fromJsonColumn(reasonsSchema, row.reasons_json, `reasons of check ${row.id}`),
  });
}
