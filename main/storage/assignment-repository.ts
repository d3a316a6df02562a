import { type Assignment, assignmentSchema } from '../../shared-lib/trial/assignment.ts';
import type { TrialFigures } from '../../shared-lib/trial/trial-model.ts';
import { type ReadableDatabase, type WritableDatabase, writing } from './database.ts';
import { appendEvaluation } from './trial-history.ts';

/** Oldest first: by which calibrations a trial was read since, other than the one it was made with. */
export function listAssignments(database: ReadableDatabase, trialId: string): Assignment[] {
  return database
    .prepare<[string]>(
      `SELECT calibration_id AS calibrationId, calibration.label AS label, reason, assigned.operator AS operator, at
       FROM calibration_assignment AS assigned JOIN calibration ON calibration.id = calibration_id
       WHERE trial_id = ? ORDER BY assigned.id`,
    )
    .all(trialId)
    .map((row) => assignmentSchema.parse(row));
}

/** The decision and the figures that follow from it, both or neither; figures from before stay beneath. */
export function assignCalibration(
  database: WritableDatabase,
  trialId: string,
  assigned: Omit<Assignment, 'label'>,
  figures: TrialFigures,
): void {
  const { calibrationId, reason, operator, at } = assigned;
  writing(database, () => {
    database
      .prepare(
        'INSERT INTO calibration_assignment (trial_id, calibration_id, reason, operator, at) VALUES (?, ?, ?, ?, ?)',
      )
      .run(trialId, calibrationId, reason, operator, at);
    appendEvaluation(database, trialId, figures, at);
  });
}
