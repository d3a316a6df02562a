import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import { scaleOfCalibration } from '../../shared-lib/standings/scale-of-calibration.ts';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import { getCalibration, getCalibrationResult } from '../storage/calibration-repository.ts';
import type { ReadableDatabase } from '../storage/database.ts';

export interface TabledCalibration {
  readonly calibration: CalibrationVersion;
  /** Relative expanded uncertainty (k = 2) at the bench, %; null: not stated. */
  readonly uncertaintyPercent: number | null;
}

/** What a trial was made with, and what its figures rest on where that is another one. */
export function calibrationIdsOf({
  conditions,
  figures,
}: Pick<TrialRecord, 'conditions' | 'figures'>): readonly string[] {
  return figures === null ? [conditions.calibrationId] : [conditions.calibrationId, figures.calibrationId];
}

/** Each once, in order of identities. Errors: AppError 'calibration-not-found'. */
export function readTabledCalibrations(
  database: ReadableDatabase,
  ids: ReadonlySet<string>,
): TabledCalibration[] {
  return [...ids].toSorted().map((id) => {
    const calibration = getCalibration(database, id);
    const { uncertainty } = scaleOfCalibration(calibration, getCalibrationResult(database, id));
    return {
      calibration,
      uncertaintyPercent: uncertainty === null ? null : 2 * 100 * uncertainty,
    };
  });
}
