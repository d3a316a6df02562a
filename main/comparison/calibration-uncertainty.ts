import { standardUncertaintyAtBench } from '../../shared-lib/calibration/uncertainty-at.ts';
import type { StatedUncertainty } from '../../shared-lib/comparison/claim.ts';
import type { Direction } from '../../shared-lib/trial/step-model.ts';
import { getCalibration, getCalibrationResult } from '../storage/calibration-repository.ts';
import type { ReadableDatabase } from '../storage/database.ts';

/** An entered uncertainty is taken for 95 % of a normal distribution, as certificates state it. */
const ENTERED_COVERAGE_FACTOR = 2;

/**
 * What a calibration states of a torque in a direction at the bench: from the result of its guided run, else as it was entered.
 * Null: it states nothing. Errors: AppError 'calibration-not-found'.
 */
export function calibrationUncertainty(
  database: ReadableDatabase,
  calibrationId: string,
  direction: Direction,
  torqueNm: number,
): StatedUncertainty | null {
  const sense = getCalibrationResult(database, calibrationId)?.senses.find(
    (result) => result.sense === direction,
  );
  if (sense !== undefined && torqueNm > 0) {
    const { standardNm, degreesOfFreedom } = standardUncertaintyAtBench(sense, torqueNm);
    return { relative: standardNm / torqueNm, degreesOfFreedom };
  }
  const { enteredUncertaintyPercent } = getCalibration(database, calibrationId);
  return enteredUncertaintyPercent === null
    ? null
    : { relative: enteredUncertaintyPercent / 100 / ENTERED_COVERAGE_FACTOR, degreesOfFreedom: null };
}
