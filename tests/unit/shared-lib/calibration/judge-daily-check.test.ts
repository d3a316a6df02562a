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

  it('is judged by the joint uncertainty alone before the twentieth check, and fails beyond the acceptance limit after it', () => {
    const uncertain = { errorNm: 1.1, calibrationUncertaintyNm: 5 };
    const early = judgeDailyCheck(check({ ...uncertain, earlierErrorsPercent: baseline.slice(1) }));
    expect(early.verdict).toBe('passed');
    expect(early.limitNm).toBeCloseTo(Math.hypot(5, 0.4), 12);
    expect(early.reasons.map(({ rule }) => rule)).toEqual(['joint uncertainty']);
    const late = judgeDailyCheck(
      check({ ...uncertain, earlierErrorsPercent: baseline.map((error) => 10 * error) }),
    );
    expect(late).toMatchObject({ verdict: 'failed', limitNm: 1 });
    expect(late.reasons[0]).toMatchObject({ rule: 'acceptance limit', isBroken: true });
  });

  it('is judged by the acceptance limit alone where the check states no uncertainty, as with a shunt', () => {
    const shunt = { checkUncertaintyNm: null, errorNm: -1.01 };
    expect(judgeDailyCheck(check(shunt))).toMatchObject({ verdict: 'failed', limitNm: 1 });
    expect(brokenRules(shunt)).toEqual(['acceptance limit']);
  });

  it('is not judged by charts whose checks did not scatter at all, and says so', () => {
    const judged = judgeDailyCheck(
      check({ errorNm: 1e-9, earlierErrorsPercent: Array.from({ length: 20 }, () => 0.05) }),
    );
    expect(judged.verdict).toBe('passed');
    expect(judged.reasons.at(-1)).toMatchObject({ rule: 'control charts', isBroken: false });
    expect(judged.reasons.at(-1)?.sentence).toContain('the same to the last digit');
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

  it('leave a failed check out of the limits and of the weighted means after it, and show it', () => {
    const withSlip = [
      ...checks.slice(0, 10),
      { checkId: 99, at: '2026-01-10T09:00:00.000Z', errorPercent: 8, isFailed: true },
      ...checks.slice(10, 20),
    ];
    const [individuals, ewma] = controlCharts(withSlip);
    const [plainIndividuals, plainEwma] = controlCharts(checks.slice(0, 20));
    expect(individuals?.points.find(({ checkId }) => checkId === 99)).toMatchObject({
      value: 8,
      isOutside: true,
    });
    expect(ewma?.points.find(({ checkId }) => checkId === 99)?.isOutside).toBe(true);
    const others = (chart: typeof ewma) => chart?.points.filter(({ checkId }) => checkId !== 99);
    expect(others(individuals)).toEqual(plainIndividuals?.points);
    expect(others(ewma)).toEqual(plainEwma?.points);
  });

  it('are drawn of failed checks too where hardly any passed, and mark nothing where nothing scatters', () => {
    const failed = checks.slice(0, 3).map((each) => ({ ...each, isFailed: true }));
    for (const chart of controlCharts(failed)) {
      expect(chart.points.every(({ lower, upper }) => Number.isFinite(lower) && upper > lower)).toBe(true);
    }
    const same = checks.slice(0, 3).map((each) => ({ ...each, errorPercent: 0.05 }));
    for (const chart of controlCharts(same)) {
      expect(chart.points.map(({ isOutside }) => isOutside)).toEqual([false, false, false]);
    }
  });

  it('mark the check that lies outside', () => {
    const [individuals] = controlCharts(checks);
    expect(individuals?.centre).toBeCloseTo(0, 12);
    expect(individuals?.points.filter(({ isOutside }) => isOutside).map(({ checkId }) => checkId)).toEqual([
      21,
    ]);
  });
});
