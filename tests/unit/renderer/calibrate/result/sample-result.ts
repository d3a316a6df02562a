import type {
  BudgetTerm,
  CombinedUncertainty,
  SenseResult,
  StepResult,
} from '../../../../../shared-lib/calibration/result-model.ts';

/** Invented figures of a result, for tests of how one is shown. */
export function sampleTerm(
  source: string,
  standardUncertaintyNm: number,
  change: Partial<BudgetTerm> = {},
): BudgetTerm {
  return {
    source,
    kind: 'independent',
    time: 'calibration',
    evaluation: 'B',
    distribution: 'normal',
    value: standardUncertaintyNm,
    unit: 'N·m',
    divisor: 1,
    sensitivity: 1,
    standardUncertaintyNm,
    degreesOfFreedom: null,
    ...change,
  };
}

export function combined(expandedNm: number, torqueNm: number): CombinedUncertainty {
  return {
    standardNm: expandedNm / 2,
    effectiveDegreesOfFreedom: 20,
    coverageFactor: 2,
    expandedNm,
    relativeExpandedPercent: (100 * expandedNm) / torqueNm,
  };
}

export function sampleStep(level: number, torqueNm: number, terms: readonly BudgetTerm[]): StepResult {
  return {
    level,
    torqueNm,
    meanDeflectionCounts: torqueNm * 4000,
    fittedCounts: torqueNm * 4000,
    interpolationPercent: 0.012,
    repeatabilityPercent: 0.02,
    reproducibilityPercent: null,
    reversibilityPercent: -0.05,
    terms: [...terms],
    atCalibration: combined(0.002 * torqueNm, torqueNm),
    atBench: combined(0.003 * torqueNm, torqueNm),
  };
}

export const sampleTerms: readonly BudgetTerm[] = [
  sampleTerm('arm length', 0.3, { kind: 'common' }),
  sampleTerm('repeatability', 0.4, { evaluation: 'A', distribution: 't', degreesOfFreedom: 2 }),
  sampleTerm('drift', 1.2, { time: 'bench' }),
];

export function sampleSense(change: Partial<SenseResult> = {}): SenseResult {
  return {
    sense: 'forward',
    degree: 1,
    hasConstant: false,
    coefficients: [4000],
    covariance: [[1]],
    residualStandardDeviationCounts: 12.3,
    degreesOfFreedom: 9,
    candidates: [
      {
        degree: 1,
        residualStandardDeviationCounts: 12.3,
        lackOfFitP: 0.4,
        greatestInterpolationPercent: 0.02,
        isMonotone: true,
      },
    ],
    degreeReason: 'A straight line fits: lack of fit is not significant.',
    overrideReason: null,
    steps: [
      sampleStep(1, 100, sampleTerms),
      sampleStep(2, 200, sampleTerms),
      sampleStep(3, 400, sampleTerms),
    ],
    zeroReturnPercent: 0.01,
    creepPercent: null,
    bendingPercent: null,
    classification: {
      reached: 0.5,
      fromNm: 100,
      reason: { sentence: 'All steps lie within it.', isFromMemory: true },
    },
    lowerLimit: {
      lowerLimitFactorNm: null,
      classANm: null,
      classAANm: null,
      reason: { sentence: 'That needs at least 30 points.', isFromMemory: true },
    },
    validFromNm: 100,
    validToNm: 400,
    ...change,
  };
}
