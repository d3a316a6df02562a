import { describe, expect, it } from 'vitest';
import {
  controlCharts,
  judgeDailyCheck,
  type CheckToJudge,
} from '../../../../shared-lib/calibration/judge-daily-check.ts';

const check = (change: Partial<CheckToJudge> = {}): CheckToJudge => ({
  errorNm: 0,
  referenceNm: 100,
  calibrationUncertaintyNm: 0.3,
  checkUncertaintyNm: 0.4,
  earlierErrorsPercent: [],
  ...change,
});
/** Twenty checks that scatter by 0.1 % about nothing: centre 0, mean moving range 0.2, limits +-0.532 %. */
const baseline = Array.from({ length: 20 }, (_, index) => (index % 2 === 0 ? 0.1 : -0.1));
const brokenRules = (change: Partial<CheckToJudge>) =>
  judgeDailyCheck(check(change))
    .reasons.filter(({ isBroken }) => isBroken)
    .map(({ rule }) => rule);

describe('a daily check', () => {
  it('passes up to the joint uncertainty of calibration and check, 0.5 from 0.3 and 0.4', () => {
    expect(judgeDailyCheck(check({ errorNm: 0.499 })).verdict).toBe('passed');
    expect(judgeDailyCheck(check({ errorNm: -0.501 })).verdict).toBe('failed');
    expect(judgeDailyCheck(check()).limitNm).toBeCloseTo(0.5, 12);
  });

  it('fails beyond the acceptance limit, however uncertain the calibration is', () => {
    expect(brokenRules({ errorNm: 1.1, calibrationUncertaintyNm: 5 })).toEqual(['acceptance limit']);
  });

  it('is judged by the acceptance limit alone where the calibration states no uncertainty', () => {
    const judged = judgeDailyCheck(check({ errorNm: 0.9, calibrationUncertaintyNm: null }));
    expect(judged).toMatchObject({ verdict: 'passed', limitNm: 1 });
    expect(judged.reasons.map(({ rule }) => rule)).toEqual(['acceptance limit']);
  });

  it('names the broken rules first, each with its figures', () => {
    const [first] = judgeDailyCheck(check({ errorNm: 0.7 })).reasons;
    expect(first).toMatchObject({ rule: 'joint uncertainty', isBroken: true });
    expect(first?.sentence).toMatch(/0\.70.*0\.50/);
  });

  it('is judged by the charts from the twenty-first on, not before', () => {
    const wide = { calibrationUncertaintyNm: 5, errorNm: 0.6 };
    expect(brokenRules({ ...wide, earlierErrorsPercent: baseline.slice(1) })).toEqual([]);
    expect(brokenRules({ ...wide, earlierErrorsPercent: baseline })).toContain('individuals chart');
  });

  it('is failed by the weighted mean where a slow drift keeps within the limits of single values', () => {
    const drifted = [...baseline, ...Array.from({ length: 8 }, () => 0.3)];
    expect(brokenRules({ calibrationUncertaintyNm: 5, errorNm: 0.3, earlierErrorsPercent: drifted })).toEqual(
      ['EWMA chart'],
    );
  });

  it('does not let the limits move along with what they judge', () => {
    const shifted = [...baseline, ...Array.from({ length: 200 }, () => 0.6)];
    expect(
      brokenRules({ calibrationUncertaintyNm: 5, errorNm: 0.6, earlierErrorsPercent: shifted }),
    ).toContain('individuals chart');
  });
});

describe('the charts of the checks', () => {
  const checks = [...baseline, 0.9].map((errorPercent, index) => ({
    checkId: index + 1,
    at: `2026-01-${String(index + 1).padStart(2, '0')}T08:00:00.000Z`,
    errorPercent,
  }));

  it('are there from two checks on', () => {
    expect(controlCharts(checks.slice(0, 1))).toEqual([]);
    expect(controlCharts(checks.slice(0, 2)).map(({ kind }) => kind)).toEqual(['individuals', 'ewma']);
  });

  it('mark the check that lies outside', () => {
    const [individuals] = controlCharts(checks);
    expect(individuals?.centre).toBeCloseTo(0, 12);
    expect(individuals?.points.filter(({ isOutside }) => isOutside).map(({ checkId }) => checkId)).toEqual([
      21,
    ]);
  });
});
