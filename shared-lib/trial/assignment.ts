import { z } from 'zod';

/** A stored decision to read a trial by another calibration than the one it was made with. */
export const assignmentSchema = z.strictObject({
  calibrationId: z.string(),
  label: z.string(),
  reason: z.string(),
  operator: z.string(),
  at: z.string(),
});
export type Assignment = z.infer<typeof assignmentSchema>;

/** The calibration that a trial is read by: the one of the newest decision, else the one it was made with. */
export function readingCalibrationId(trial: {
  readonly conditions: { readonly calibrationId: string };
  readonly assignments: readonly Pick<Assignment, 'calibrationId'>[];
}): string {
  return trial.assignments.at(-1)?.calibrationId ?? trial.conditions.calibrationId;
}
