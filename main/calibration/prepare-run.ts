import { appliedTorqueNm } from '../../shared-lib/calibration/applied-torque.ts';
import { checkSetup } from '../../shared-lib/calibration/check-setup.ts';
import { planRun } from '../../shared-lib/calibration/plan-run.ts';
import type { Finding } from '../../shared-lib/calibration/result-model.ts';
import type { PlannedReading, RunSetup } from '../../shared-lib/calibration/run-model.ts';
import type { Arm } from '../../shared-lib/calibration/standards-model.ts';

export interface PreparedRun {
  readonly readings: PlannedReading[];
  /** On the arm, rising torque. */
  readonly levelsNm: number[];
  readonly findings: Finding[];
}

/** What a setup asks for and what speaks against it. Errors: AppError 'input-out-of-range' from gravity and torque. */
export function prepareRun(
  setup: RunSetup,
  rig: { readonly today: string; readonly capacityNm: number | null; readonly rigLimitNm: number | null },
): PreparedRun {
  const { site, way } = setup;
  const torquesOn = (arm: Arm): number[] =>
    setup.levels.map((weights) => appliedTorqueNm({ weights, arm, site, way }));
  const levelsNm = torquesOn(setup.arm);
  return {
    readings: planRun(setup, {
      arm: levelsNm,
      shortArm: setup.shortArm === null ? [] : torquesOn(setup.shortArm),
    }),
    levelsNm,
    findings: checkSetup({ setup, ...rig }),
  };
}
