import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import { countsSign } from './counts-sign.ts';

/** Why the counts of a trial mean nothing under another calibration, as the end of "This trial ..."; null: they do. */
export function whyNotReadable(
  { conditions }: Pick<TrialRecord, 'conditions'>,
  calibration: CalibrationVersion,
  madeWith: CalibrationVersion,
): string | null {
  if (calibration.transducerId !== conditions.transducer.id) {
    return 'was made on another transducer, whose counts mean other torques';
  }
  const { amplifierId } = calibration;
  if (amplifierId !== null && conditions.amplifierId !== null && amplifierId !== conditions.amplifierId) {
    return 'was made with another amplifier, whose counts mean other torques';
  }
  if (countsSign(calibration) !== countsSign(madeWith)) {
    return 'was made when the counts ran the other way: its torque would change its sign';
  }
  return null;
}
