import type { SenseResult } from '../../../shared-lib/calibration/result-model.ts';
import type { BudgetTime } from './budget-shares.ts';

export interface UncertaintyPoint {
  readonly torqueNm: number;
  readonly percent: number;
}

/** Relative expanded uncertainty along the calibrated range, one point for each step. */
export function uncertaintyCurvePoints(result: SenseResult, time: BudgetTime): UncertaintyPoint[] {
  return result.steps.map(({ torqueNm, atBench, atCalibration }) => ({
    torqueNm,
    percent: (time === 'bench' ? atBench : atCalibration).relativeExpandedPercent,
  }));
}
