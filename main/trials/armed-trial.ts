import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import type { TrialConditions } from '../../shared-lib/trial/trial-model.ts';
import type { TrialPlan } from '../../shared-lib/trial/trial-state.ts';

/** What was fixed when the operator armed. */
export interface ArmedTrial {
  readonly plan: TrialPlan;
  readonly sessionId: string;
  /** But for `restedS`, which goes on until onset. */
  readonly conditions: TrialConditions;
  /** Of the pull before with the same setup, on the monotonic clock; null or left out: there was none. */
  readonly lastPullEndedUs?: number | null;
  /** What the plan asks for between its end and the next pull with the same setup; 0: nothing. */
  readonly restAfterS: number;
  readonly calibration: CalibrationVersion;
  /** Torque beyond this ends the run: the lower of capacity and rig limit. */
  readonly overloadNm: number;
  readonly sampleRateHz: number;
}
