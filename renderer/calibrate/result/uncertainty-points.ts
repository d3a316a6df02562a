import type { SenseResult } from '../../../shared-lib/calibration/result-model.ts';
import { expandedUncertaintyNm } from '../../../shared-lib/calibration/uncertainty-at.ts';
import type { BudgetTime } from '../../../shared-lib/calibration/budget-shares.ts';

export interface UncertaintyPoint {
  /** Never negative: the sense has the sign. */
  readonly torqueNm: number;
  readonly percent: number;
}

const STRETCHES = 60;

/** Relative expanded uncertainty over the calibrated range, its steps among the points. */
export function uncertaintyCurvePoints(result: SenseResult, time: BudgetTime): UncertaintyPoint[] {
  const { validFromNm, validToNm, steps } = result;
  const between = Array.from(
    { length: STRETCHES + 1 },
    (_, place) => validFromNm + (place / STRETCHES) * (validToNm - validFromNm),
  );
  const torques = [...between, ...steps.map(({ torqueNm }) => Math.abs(torqueNm))];
  return [...new Set(torques)]
    .sort((a, b) => a - b)
    .map((torqueNm) => ({
      torqueNm,
      percent: (100 * expandedUncertaintyNm(result, torqueNm, time)) / torqueNm,
    }));
}

/** The steps themselves. */
export function uncertaintyStepPoints(result: SenseResult, time: BudgetTime): UncertaintyPoint[] {
  return result.steps.map(({ torqueNm, atBench, atCalibration }) => ({
    torqueNm: Math.abs(torqueNm),
    percent: (time === 'bench' ? atBench : atCalibration).relativeExpandedPercent,
  }));
}
