import { describe, expect, it } from 'vitest';
import type { SenseResult, StepResult } from '../../../../shared-lib/calibration/result-model.ts';
import {
  expandedUncertaintyNm,
  readDeflection,
  senseFromResult,
  standardUncertaintyAtBench,
  topUncertaintyPercent,
} from '../../../../shared-lib/calibration/uncertainty-at.ts';

/** A step read at 4000 counts per N.m; at the bench twice as uncertain. */
function stepAt(
  torqueNm: number,
  standardNm: number,
  effectiveDegreesOfFreedom: number | null = null,
): StepResult {
  const combined = (standard: number) => ({
    standardNm: standard,
    effectiveDegreesOfFreedom,
    coverageFactor: 2,
    expandedNm: 2 * standard,
    relativeExpandedPercent: (200 * standard) / Math.abs(torqueNm),
  });
  return {
    level: 1,
    torqueNm,
    meanDeflectionCounts: 4000 * torqueNm,
    fittedCounts: 4000 * torqueNm,
    interpolationPercent: 0,
    repeatabilityPercent: null,
    reproducibilityPercent: null,
    reversibilityPercent: null,
    terms: [],
    atCalibration: combined(standardNm / 2),
    atBench: combined(standardNm),
  };
}
const steps = [stepAt(20, 0.1, 8), stepAt(60, 0.2, 5), stepAt(100, 0.6, null)];
const known = { sentence: 'made up for this test', isFromMemory: false };
const result = (change: Partial<SenseResult> = {}): SenseResult => ({
  sense: 'forward',
  degree: 1,
  hasConstant: false,
  coefficients: [4000],
  covariance: [[1]],
  residualStandardDeviationCounts: 1,
  degreesOfFreedom: 2,
  candidates: [],
  degreeReason: '',
  overrideReason: null,
  steps,
  zeroReturnPercent: null,
  creepPercent: null,
  bendingPercent: null,
  classification: { reached: null, fromNm: null, reason: known },
  lowerLimit: { lowerLimitFactorNm: null, classANm: null, classAANm: null, reason: known },
  validFromNm: 20,
  validToNm: 100,
  ...change,
});

describe('the uncertainty between the steps', () => {
  it.each([
    [5, 0.2],
    [20, 0.2],
    [30, 0.25],
    [60, 0.4],
    [80, 0.8],
    [100, 1.2],
    [150, 1.8],
    [-80, 0.8],
  ])('at %d N.m is %d N.m: constant below, straight between, in proportion above', (torqueNm, expandedNm) => {
    expect(expandedUncertaintyNm({ steps }, torqueNm, 'bench')).toBeCloseTo(expandedNm, 12);
    expect(expandedUncertaintyNm({ steps }, torqueNm, 'calibration')).toBeCloseTo(expandedNm / 2, 12);
    expect(standardUncertaintyAtBench({ steps }, torqueNm).standardNm).toBeCloseTo(expandedNm / 2, 12);
    // In whatever order the steps stand, and whichever way they turn.
    const turned = steps.toReversed().map((step) => ({ ...step, torqueNm: -step.torqueNm }));
    expect(expandedUncertaintyNm({ steps: turned }, torqueNm, 'bench')).toBeCloseTo(expandedNm, 12);
  });

  it.each([
    [5, 8],
    [20, 8],
    [30, 5],
    [60, 5],
    [80, 5],
    [100, 5],
    [150, null],
  ])(
    'at %d N.m has the fewer degrees of freedom of the steps beside it: %d',
    (torqueNm, degreesOfFreedom) => {
      expect(standardUncertaintyAtBench({ steps }, torqueNm).degreesOfFreedom).toBe(degreesOfFreedom);
      expect(standardUncertaintyAtBench({ steps: steps.toReversed() }, -torqueNm).degreesOfFreedom).toBe(
        degreesOfFreedom,
      );
    },
  );

  it.each([
    [70, 40],
    [150, 30],
  ])('at %d N.m does not look at steps farther off: %d degrees of freedom', (torqueNm, degreesOfFreedom) => {
    const four = [stepAt(20, 0.1, 3), stepAt(60, 0.2, 50), stepAt(80, 0.3, 40), stepAt(100, 0.6, 30)];
    expect(standardUncertaintyAtBench({ steps: four }, torqueNm).degreesOfFreedom).toBe(degreesOfFreedom);
  });

  it('is refused without any step', () => {
    expect(() => expandedUncertaintyNm({ steps: [] }, 10, 'bench')).toThrow('at least one step');
    expect(() => senseFromResult(result({ steps: [] }))).toThrow('at least one step');
  });
});

describe('the uncertainty at the top', () => {
  const whole = (...senses: SenseResult[]) => ({
    definitionVersion: 1,
    senses,
    gravityMps2: 9.81,
    airDensityKgM3: 1.2,
    findings: [],
    summary: [],
  });

  it('is that of the highest step, the worse of both senses', () => {
    const reverse = result({ sense: 'reverse', steps: [stepAt(-20, 0.1), stepAt(-100, 0.9)] });
    expect(topUncertaintyPercent(whole(result()))).toBeCloseTo(1.2, 12);
    expect(topUncertaintyPercent(whole(result(), reverse))).toBeCloseTo(1.8, 12);
    expect(topUncertaintyPercent(whole(reverse, result()))).toBeCloseTo(1.8, 12);
  });

  it('is not known without a run', () => {
    expect(topUncertaintyPercent(null)).toBeNull();
    expect(topUncertaintyPercent(whole(result({ steps: [] })))).toBeNull();
  });
});

describe('a result as it is used', () => {
  it('is a gain where it is a line through the zero', () => {
    expect(senseFromResult(result())).toEqual({ gainNmPerCount: 1 / 4000, validToNm: 100, curve: null });
  });

  it('is a curve otherwise, with the gain of the highest step', () => {
    expect(senseFromResult(result({ degree: 2, coefficients: [4000, 0.5] }))).toEqual({
      gainNmPerCount: 1 / 4000,
      validToNm: 100,
      curve: { constantCounts: 0, coefficients: [4000, 0.5] },
    });
    expect(senseFromResult(result({ hasConstant: true, coefficients: [30, 4000] }))).toEqual({
      gainNmPerCount: 1 / 4000,
      validToNm: 100,
      curve: { constantCounts: 30, coefficients: [4000] },
    });
  });

  it('reads a deflection with its interval, and says where that lies outside', () => {
    expect(readDeflection(result(), 320_000, 'bench')).toEqual({
      torqueNm: expect.closeTo(80, 9) as number,
      expandedNm: expect.closeTo(0.8, 9) as number,
      isOutsideRange: false,
    });
    expect(readDeflection(result(), 440_000, 'bench').isOutsideRange).toBe(true);
    const reverse = result({
      sense: 'reverse',
      steps: steps.map((step) => ({ ...step, torqueNm: -step.torqueNm })),
    });
    expect(readDeflection(reverse, -320_000, 'calibration').torqueNm).toBeCloseTo(-80, 9);
    expect(readDeflection(reverse, -320_000, 'calibration').expandedNm).toBeCloseTo(0.4, 9);
  });
});
