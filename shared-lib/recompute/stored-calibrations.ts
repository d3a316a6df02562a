import {
  calibrationInputSchema,
  calibrationSenseSchema,
  type CalibrationVersion,
  calibrationVersionSchema,
} from '../calibration/calibration-model.ts';
import { type CalibrationResult, calibrationResultSchema } from '../calibration/result-model.ts';
import { NotAPackage } from './not-a-package.ts';
import type { PackageTables } from './read-tables.ts';
import { reasonOf, type TableRow } from './table-row.ts';

/** A calibration as its row has it; the result is that of its guided run, null where its values were entered. */
export interface StoredCalibration {
  readonly version: CalibrationVersion;
  readonly result: CalibrationResult | null;
}

export interface StoredCalibrations {
  all(): readonly StoredCalibration[];
  /** Errors: NotAPackage where it is not there, or cannot be read. */
  get(id: string): StoredCalibration;
}

export function readCalibrations(
  tables: PackageTables,
  report: (error: NotAPackage) => void,
): StoredCalibrations {
  const byId = new Map<string, StoredCalibration>();
  for (const row of tables.rows('calibration')) {
    try {
      const calibration = toCalibration(row);
      byId.set(calibration.version.id, calibration);
    } catch (error) {
      if (!(error instanceof NotAPackage)) throw error;
      report(error);
    }
  }
  return {
    all: () => [...byId.values()],
    get(id) {
      const found = byId.get(id);
      if (found === undefined) {
        throw new NotAPackage('data/calibration.csv', `There is no readable calibration ${id} in it.`);
      }
      return found;
    },
  };
}

const curveSchema = calibrationSenseSchema.shape.curve;

function toCalibration(row: TableRow): StoredCalibration {
  const sense = (name: 'forward' | 'reverse'): unknown => {
    const gainNmPerCount = row.numberOrNull(`${name}_gain_nm_per_count`);
    return gainNmPerCount === null
      ? null
      : {
          gainNmPerCount,
          validToNm: row.number(`${name}_valid_to_nm`),
          curve: row.jsonOrNull(`${name}_curve_json`, curveSchema),
        };
  };
  const version = calibrationVersionSchema.safeParse({
    id: row.text('id'),
    transducerId: row.text('transducer_id'),
    amplifierId: row.textOrNull('amplifier_id'),
    label: row.text('label'),
    method: row.text('method'),
    forward: sense('forward'),
    reverse: sense('reverse'),
    enteredUncertaintyPercent: row.numberOrNull('entered_uncertainty_percent'),
    input: row.jsonOrNull('input_json', calibrationInputSchema),
    runId: row.textOrNull('run_id'),
    validUntil: row.textOrNull('valid_until'),
    validForTrials: row.numberOrNull('valid_for_trials'),
    operator: row.text('operator'),
    note: row.text('note'),
    createdAt: row.text('created_at'),
    supersededAt: row.textOrNull('superseded_at'),
    supersedeReason: row.textOrNull('supersede_reason'),
  });
  if (!version.success) throw new NotAPackage(row.where, reasonOf(version.error));
  return { version: version.data, result: row.jsonOrNull('result_json', calibrationResultSchema) };
}
