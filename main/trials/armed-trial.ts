import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import type { TrialConditions } from '../../shared-lib/trial/trial-model.ts';
import type { TrialPlan } from '../../shared-lib/trial/trial-state.ts';

/** What was fixed when the operator armed. */
export interface ArmedTrial {
  readonly plan: TrialPlan;
  readonly sessionId: string;
  readonly conditions: TrialConditions;
  readonly calibration: CalibrationVersion;
  /** Torque beyond this ends the run: the lower of capacity and rig limit. */
  readonly overloadNm: number;
  readonly sampleRateHz: number;
}
