import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import { oneWayAnova } from '../../../../shared-lib/comparison/anova.ts';
import { meanOf, standardDeviationOf } from '../../../../shared-lib/comparison/sums.ts';
import atmWtAg from '../../../fixtures/reference-values/nist-strd/atmwtag.json' with { type: 'json' };
import siRstv from '../../../fixtures/reference-values/nist-strd/sirstv.json' with { type: 'json' };
import torqueClass from '../../../fixtures/reference-values/torque-class.json' with { type: 'json' };

function expectRelative(actual: number, expected: number | string, tolerance: number): void {
  const value = Number(expected);
  expect(Math.abs(actual - value)).toBeLessThanOrEqual(tolerance * Math.abs(value));
}

describe('the analysis of variance of groups', () => {
  // AtmWtAg differs in the sixth digit of nine: in binary, its data carry no more than some nine digits of the scatter.
  it.each([
    { set: siRstv, tolerance: 1e-11 },
    { set: atmWtAg, tolerance: 1e-7 },
  ])('has the certified values of the NIST reference data $set.name', ({ set, tolerance }) => {
    const found = oneWayAnova(set.groups, distributions);
    const { certified } = set;
    expect(found.betweenDf).toBe(certified.betweenDf);
    expect(found.withinDf).toBe(certified.withinDf);
    expectRelative(found.betweenSquares, certified.betweenSS, tolerance);
    expectRelative(found.withinSquares, certified.withinSS, tolerance);
    expectRelative(found.f, certified.F, tolerance);
    expectRelative(found.rSquared, certified.rSquared, tolerance);
    expectRelative(found.residualStandardDeviation, certified.residualSd, tolerance);
    expectRelative(found.p, set.pValue.value, 10 * tolerance);
  });

  it('is refused without two groups, or where none repeats', () => {
    expect(() => oneWayAnova([[1, 2, 3]], distributions)).toThrow(RangeError);
    expect(() => oneWayAnova([[1], [2]], distributions)).toThrow(RangeError);
    expect(() => oneWayAnova([[1, 2], []], distributions)).toThrow(RangeError);
  });
});

describe('mean and standard deviation', () => {
  it('are those of 25 invented tightenings on a hard and a soft joint (definitions of 6s and combined scatter from memory)', () => {
    const { values, ...expected } = {
      values: torqueClass.toolStatistics.values,
      ...torqueClass.toolStatistics.values,
    };
    const hard = { mean: meanOf(values.hard), s: standardDeviationOf(values.hard) };
    const soft = { mean: meanOf(values.soft), s: standardDeviationOf(values.soft) };
    expectRelative(hard.mean, expected.meanHard, 1e-12);
    expectRelative(hard.s, expected.sdHard, 1e-12);
    expectRelative(soft.s, expected.sdSoft, 1e-12);
    expectRelative((600 * hard.s) / hard.mean, expected.scatterHard_pct, 1e-9);
    expectRelative((600 * soft.s) / soft.mean, expected.scatterSoft_pct, 1e-9);
    const highest = Math.max(hard.mean + 3 * hard.s, soft.mean + 3 * soft.s);
    const lowest = Math.min(hard.mean - 3 * hard.s, soft.mean - 3 * soft.s);
    expectRelative((highest + lowest) / 2, expected.combinedMean, 1e-9);
    expectRelative(highest - lowest, expected.combinedScatter, 1e-9);
  });

  it('keep their digits beside a large common part', () => {
    // The offset and the steps are exact in binary.
    const values = [0, 1, 2, 3, 4].map((step) => 2 ** 30 + step / 1024);
    expect(standardDeviationOf(values)).toBeCloseTo(Math.sqrt(2.5) / 1024, 15);
    expect(standardDeviationOf([5])).toBeNaN();
  });
});
