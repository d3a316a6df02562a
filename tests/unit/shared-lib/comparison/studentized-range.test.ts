import jStat from 'jstat';
import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import {
  studentizedRangeCdf,
  studentizedRangeQuantile,
} from '../../../../shared-lib/comparison/studentized-range.ts';

describe('the studentized range', () => {
  // Tables of q as they are printed in many textbooks, to two decimals.
  it.each([
    [0.95, 2, 10, 3.15],
    [0.95, 3, 10, 3.88],
    [0.95, 3, 5, 4.6],
    [0.95, 4, 20, 3.96],
    [0.95, 6, 12, 4.75],
    [0.95, 10, 10, 5.6],
    [0.95, 10, 20, 5.01],
    [0.99, 3, 10, 5.27],
    [0.95, 3, 1e9, 3.31],
    [0.95, 5, 1e9, 3.86],
  ])('has the printed value at %f for %i and %f degrees of freedom (from memory)', (p, K, nu, printed) => {
    expect(Math.abs(studentizedRangeQuantile(p, K, nu) - printed)).toBeLessThanOrEqual(0.0051);
  });

  it.each([
    [3.5, 3, 2],
    [4.2, 3, 4],
    [3.1, 5, 12],
    [5, 10, 18],
    [4.6, 10, 60],
    [6, 40, 100],
    [6.2, 100, 250],
  ])('has the probability of another program below %f of %i and %i degrees of freedom', (q, K, nu) => {
    expect(Math.abs(studentizedRangeCdf(q, K, nu) - jStat.tukey.cdf(q, K, nu))).toBeLessThan(1e-8);
  });

  it('has the 95 % value of another program', () => {
    expect(Math.abs(studentizedRangeQuantile(0.95, 10, 18) / jStat.tukey.inv(0.95, 10, 18) - 1)).toBeLessThan(
      1e-7,
    );
  });

  it.each([1, 2, 3.7, 10, 100, 1e5])('of two is Student’s t times root 2, at %f degrees of freedom', (nu) => {
    const q = studentizedRangeQuantile(0.95, 2, nu);
    const t = distributions.studentTQuantile(0.975, nu);
    expect(Math.abs(q / (Math.SQRT2 * t) - 1)).toBeLessThan(1e-9);
  });

  it('has the intervals and p that R prints for the warp breaks by tension (TukeyHSD, from memory)', () => {
    // Residual sum of squares 6747.889 with 50 degrees of freedom, 18 breaks at each of three tensions.
    const standardError = Math.sqrt(6747.889 / 50 / 18);
    expect(studentizedRangeQuantile(0.95, 3, 50) * standardError).toBeCloseTo(9.35342, 4);
    expect(1 - studentizedRangeCdf(10 / standardError, 3, 50)).toBeCloseTo(0.0336262, 6);
    expect(1 - studentizedRangeCdf(14.722222 / standardError, 3, 50)).toBeCloseTo(0.0011218, 6);
    expect(1 - studentizedRangeCdf(4.722222 / standardError, 3, 50)).toBeCloseTo(0.447421, 5);
  });

  it('grows with the number of those compared and is its own inverse', () => {
    let before = 0;
    for (const K of [2, 3, 10, 50, 200]) {
      const q = studentizedRangeQuantile(0.95, K, 8);
      expect(q).toBeGreaterThan(before);
      expect(studentizedRangeCdf(q, K, 8)).toBeCloseTo(0.95, 9);
      before = q;
    }
    expect(studentizedRangeCdf(0, 3, 8)).toBe(0);
  });

  it('is refused for what is no probability and no number of values', () => {
    for (const p of [0, 1, -0.1, 1.5, Number.NaN]) {
      expect(() => studentizedRangeQuantile(p, 3, 8)).toThrow(`no studentized range for probability ${p}`);
    }
    expect(() => studentizedRangeQuantile(0.95, 1, 8)).toThrow(RangeError);
    expect(() => studentizedRangeCdf(3, 3, 0)).toThrow(RangeError);
  });
});
