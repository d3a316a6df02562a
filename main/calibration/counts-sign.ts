import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';

/** The sign of torque over counts: where it differs, a push one way reads the other way. */
export function countsSign({ forward, reverse }: Pick<CalibrationVersion, 'forward' | 'reverse'>): number {
  return Math.sign((forward ?? reverse)?.gainNmPerCount ?? 0);
}
