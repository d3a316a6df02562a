import { AppError } from '../../shared-lib/app-error.ts';
import type { CalibrationSense } from '../../shared-lib/calibration/calibration-model.ts';
import { deadWeightTorqueNm } from '../../shared-lib/calibration/dead-weight-torque.ts';
import { gravityMps2From } from '../../shared-lib/calibration/gravity.ts';
import type { CalibrationResult, Finding, SenseResult } from '../../shared-lib/calibration/result-model.ts';
import type { RunWay } from '../../shared-lib/calibration/run-model.ts';
import type { Arm, Site, Weight } from '../../shared-lib/calibration/standards-model.ts';

export function appliedTorque(load: { weights: readonly Weight[]; arm: Arm; site: Site; way: RunWay }): {
  torqueNm: number;
} {
  const torqueNm = load.weights.reduce(
    (sum, weight) =>
      sum +
      deadWeightTorqueNm({
        massKg: weight.massKg,
        materialDensityKgM3: weight.densityKgM3,
        armLengthM: load.arm.lengthM,
        armAngleDeg: load.arm.angleDeg,
        gravityMps2: gravityMps2From(load.site.gravity),
        airDensityKgM3: 1.2,
      }),
    0,
  );
  return { torqueNm };
}
export function checkSetup(_: unknown): Finding[] {
  return [];
}
export function evaluateRun(_: unknown, __: unknown): CalibrationResult {
  throw new AppError('calibration-degenerate', 'Not there yet.');
}
export function senseFromResult(_: SenseResult): CalibrationSense {
  throw new AppError('calibration-degenerate', 'Not there yet.');
}
