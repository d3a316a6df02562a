import type { CalibrationResult, CombinedUncertainty } from '../../../shared-lib/calibration/result-model.ts';

/** An invented result of one sense and one step: 100 N m at 400 000 counts, U = 0.1 % of it. */
export function calibrationResult(expandedNm = 0.1): CalibrationResult {
  const uncertainty: CombinedUncertainty = {
    standardNm: expandedNm / 2,
    effectiveDegreesOfFreedom: null,
    coverageFactor: 2,
    expandedNm,
    relativeExpandedPercent: expandedNm,
  };
  const reason = { sentence: 'Invented.', isFromMemory: false };
  return {
    definitionVersion: 1,
    senses: [
      {
        sense: 'forward',
        degree: 1,
        hasConstant: false,
        coefficients: [4000],
        covariance: [[1]],
        residualStandardDeviationCounts: 2,
        degreesOfFreedom: 3,
        candidates: [],
        degreeReason: 'Invented.',
        overrideReason: null,
        steps: [
          {
            level: 1,
            torqueNm: 100,
            meanDeflectionCounts: 400_000,
            fittedCounts: 400_000,
            interpolationPercent: 0,
            repeatabilityPercent: 0.01,
            reproducibilityPercent: null,
            reversibilityPercent: null,
            terms: [
              {
                source: 'Arm length',
                kind: 'common',
                time: 'calibration',
                evaluation: 'B',
                distribution: 'rectangular',
                value: (Math.sqrt(3) * expandedNm) / 2,
                unit: 'N·m',
                divisor: Math.sqrt(3),
                sensitivity: 1,
                standardUncertaintyNm: expandedNm / 2,
                degreesOfFreedom: null,
              },
            ],
            atCalibration: uncertainty,
            atBench: uncertainty,
          },
        ],
        zeroReturnPercent: null,
        creepPercent: null,
        bendingPercent: null,
        classification: { reached: null, fromNm: null, reason },
        lowerLimit: { lowerLimitFactorNm: null, classANm: null, classAANm: null, reason },
        validFromNm: 100,
        validToNm: 100,
      },
    ],
    gravityMps2: 9.81,
    airDensityKgM3: 1.2,
    findings: [],
    summary: ['Invented.'],
  };
}
