import { AppError } from '../../shared-lib/app-error.ts';
import {
  calibrationInputSchema,
  calibrationSenseSchema,
  type CalibrationVersion,
  calibrationVersionSchema,
} from '../../shared-lib/calibration/calibration-model.ts';
import {
  type CalibrationResult,
  calibrationResultSchema,
} from '../../shared-lib/calibration/result-model.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { fromJsonColumn, toJsonColumn } from './json-column.ts';
import { getTransducer, setActiveCalibration } from './transducer-repository.ts';

interface CalibrationRow {
  id: string;
  transducer_id: string;
  amplifier_id: string | null;
  label: string;
  method: string;
  forward_gain_nm_per_count: number | null;
  forward_valid_to_nm: number | null;
  forward_curve_json: string | null;
  reverse_gain_nm_per_count: number | null;
  reverse_valid_to_nm: number | null;
  reverse_curve_json: string | null;
  entered_uncertainty_percent: number | null;
  input_json: string | null;
  run_id: string | null;
  valid_until: string | null;
  valid_for_trials: number | null;
  operator: string;
  note: string;
  created_at: string;
  superseded_at: string | null;
  supersede_reason: string | null;
}

const selectCalibrations = `
SELECT id, transducer_id, amplifier_id, label, method, forward_gain_nm_per_count, forward_valid_to_nm,
  forward_curve_json, reverse_gain_nm_per_count, reverse_valid_to_nm, reverse_curve_json, entered_uncertainty_percent,
  input_json, run_id, valid_until, valid_for_trials, operator, note, created_at, superseded_at, supersede_reason
FROM calibration`;

/** All versions of a transducer, or of all transducers where none is named; newest first, superseded ones too. */
export function listCalibrations(database: ReadableDatabase, transducerId?: string): CalibrationVersion[] {
  return reading(() =>
    database
      .prepare<{ transducerId: string | null }, CalibrationRow>(
        `${selectCalibrations} WHERE @transducerId IS NULL OR transducer_id = @transducerId
         ORDER BY created_at DESC, id DESC`,
      )
      .all({ transducerId: transducerId ?? null })
      .map(toCalibration),
  );
}

export function getCalibration(database: ReadableDatabase, id: string): CalibrationVersion {
  return reading(() => {
    const row = database.prepare<[string], CalibrationRow>(`${selectCalibrations} WHERE id = ?`).get(id);
    if (row) return toCalibration(row);
    throw new AppError(
      'calibration-not-found',
      'There is no such calibration. Nothing was changed. Choose one from the list in Calibrate.',
      { calibrationId: id },
    );
  });
}

/** What the guided run behind a calibration came to; null where its values were entered. */
export function getCalibrationResult(database: ReadableDatabase, id: string): CalibrationResult | null {
  return reading(() => {
    const text = database
      .prepare<[string], string | null>('SELECT result_json FROM calibration WHERE id = ?')
      .pluck()
      .get(id);
    return text === undefined || text === null
      ? null
      : fromJsonColumn(calibrationResultSchema, text, `result of calibration ${id}`);
  });
}

/**
 * Stores a version and puts it in use on its transducer; the one in use before is superseded at the same moment.
 *
 * `supersedePrevious`: why; needed exactly where one is in use ('invalid-state' without).
 * `result`: of the guided run behind it.
 */
export function insertCalibration(
  database: WritableDatabase,
  version: CalibrationVersion,
  supersedePrevious: { readonly reason: string } | null,
  result: CalibrationResult | null = null,
): CalibrationVersion {
  if (version.supersededAt !== null) throw new Error('A new calibration cannot be superseded already');
  return writing(database, () => {
    const previousId = getTransducer(database, version.transducerId).activeCalibrationId;
    if (previousId !== null) supersede(database, previousId, version.createdAt, supersedePrevious);
    insert(database, version, result);
    setActiveCalibration(database, version.transducerId, version.id);
    return getCalibration(database, version.id);
  });
}

function supersede(
  database: WritableDatabase,
  id: string,
  at: string,
  supersedePrevious: { readonly reason: string } | null,
): void {
  if (supersedePrevious === null) {
    throw new AppError(
      'invalid-state',
      'A calibration is in use already. Nothing was changed. Say why the new one replaces it, then save again.',
      { calibrationId: id },
    );
  }
  database
    .prepare('UPDATE calibration SET superseded_at = ?, supersede_reason = ? WHERE id = ?')
    .run(at, supersedePrevious.reason, id);
}

function insert(
  database: WritableDatabase,
  version: CalibrationVersion,
  result: CalibrationResult | null,
): void {
  database
    .prepare(
      `INSERT INTO calibration (id, transducer_id, amplifier_id, label, method, forward_gain_nm_per_count,
         forward_valid_to_nm, forward_curve_json, reverse_gain_nm_per_count, reverse_valid_to_nm, reverse_curve_json,
         entered_uncertainty_percent, input_json, run_id, result_json, valid_until, valid_for_trials, operator, note,
         created_at)
       VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
    )
    .run(
      version.id,
      version.transducerId,
      version.amplifierId,
      version.label,
      version.method,
      version.forward?.gainNmPerCount ?? null,
      version.forward?.validToNm ?? null,
      toCurveColumn(version.forward),
      version.reverse?.gainNmPerCount ?? null,
      version.reverse?.validToNm ?? null,
      toCurveColumn(version.reverse),
      version.enteredUncertaintyPercent,
      version.input === null ? null : toJsonColumn(calibrationInputSchema, version.input),
      version.runId,
      result === null ? null : toJsonColumn(calibrationResultSchema, result),
      version.validUntil,
      version.validForTrials,
      version.operator,
      version.note,
      version.createdAt,
    );
}

const curveSchema = calibrationSenseSchema.shape.curve;

function toCurveColumn(sense: CalibrationVersion['forward']): string | null {
  return (sense?.curve ?? null) === null ? null : toJsonColumn(curveSchema, sense?.curve);
}

function toCalibration(row: CalibrationRow): CalibrationVersion {
  const toSense = (gainNmPerCount: number | null, validToNm: number | null, curveJson: string | null) =>
    gainNmPerCount === null
      ? null
      : {
          gainNmPerCount,
          validToNm,
          curve:
            curveJson === null
              ? null
              : fromJsonColumn(curveSchema, curveJson, `curve of calibration ${row.id}`),
        };
  return calibrationVersionSchema.parse({
    id: row.id,
    transducerId: row.transducer_id,
    amplifierId: row.amplifier_id,
    label: row.label,
    method: row.method,
    forward: toSense(row.forward_gain_nm_per_count, row.forward_valid_to_nm, row.forward_curve_json),
    reverse: toSense(row.reverse_gain_nm_per_count, row.reverse_valid_to_nm, row.reverse_curve_json),
    enteredUncertaintyPercent: row.entered_uncertainty_percent,
    input:
      row.input_json === null
        ? null
        : fromJsonColumn(calibrationInputSchema, row.input_json, `values of calibration ${row.id}`),
    runId: row.run_id,
    validUntil: row.valid_until,
    validForTrials: row.valid_for_trials,
    operator: row.operator,
    note: row.note,
    createdAt: row.created_at,
    supersededAt: row.superseded_at,
    supersedeReason: row.supersede_reason,
  });
}
