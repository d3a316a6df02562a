import type { SenseResult } from './result-model.ts';

const LEAST_POINTS = 30;
const LEAST_LEVELS = 10;
const LLF_FACTOR = 2.4;
const CLASS_A_FACTOR = 400;
const CLASS_AA_FACTOR = 2000;

/**
 * Lower limit factor 2.4 S_m and the lower torques of classes A (0.25 %) and AA (0.05 %), S_m the standard deviation of the
 * residuals over n - m - 1 with a constant and n - m without. FROM MEMORY of ASTM E74 and E2428, which nobody here could read.
 *
 * Shape: `residualStandardDeviationCounts` is S_m; `nmPerCount` turns it into torque (chord at the greatest torque).
 */
export function lowerLimit(fit: {
  readonly pointCount: number;
  readonly levelCount: number;
  readonly residualStandardDeviationCounts: number;
  readonly nmPerCount: number;
}): SenseResult['lowerLimit'] {
  if (fit.pointCount < LEAST_POINTS || fit.levelCount < LEAST_LEVELS) {
    return {
      lowerLimitFactorNm: null,
      classANm: null,
      classAANm: null,
      reason: {
        sentence: `No ASTM lower limit: it takes at least ${LEAST_POINTS} readings at ${LEAST_LEVELS} torques (as remembered); there were ${fit.pointCount} at ${fit.levelCount}.`,
        isFromMemory: true,
      },
    };
  }
  const lowerLimitFactorNm = LLF_FACTOR * fit.residualStandardDeviationCounts * Math.abs(fit.nmPerCount);
  return {
    lowerLimitFactorNm,
    classANm: CLASS_A_FACTOR * lowerLimitFactorNm,
    classAANm: CLASS_AA_FACTOR * lowerLimitFactorNm,
    reason: {
      sentence: `From the scatter of ${fit.pointCount} readings about the curve. Rule as remembered; check against your copy of the standard.`,
      isFromMemory: true,
    },
  };
}
