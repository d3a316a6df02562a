import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import { hedgesCorrection, hedgesG } from '../../../../shared-lib/comparison/effect-size.ts';
import { standardDeviationOf } from '../../../../shared-lib/comparison/sums.ts';
import { tost } from '../../../../shared-lib/comparison/tost.ts';
import { intervalOf, welch } from '../../../../shared-lib/comparison/welch.ts';
import reference from '../../../fixtures/reference-values/welch-tost-hedges.json' with { type: 'json' };

const { generated, published } = reference;

function expectClose(actual: number, expected: number): void {
  expect(Math.abs(actual - expected)).toBeLessThanOrEqual(1e-10 * Math.max(1, Math.abs(expected)));
}

describe('two sets of values that scatter each in its own way', () => {
  it('have the difference, t, degrees of freedom, p and intervals of scipy (Welch)', () => {
    const test = welch(generated.a, generated.b, distributions);
    expectClose(standardDeviationOf(generated.a), generated.sdA);
    expectClose(test.difference, generated.diff);
    expectClose(test.standardError, generated.se);
    expectClose(test.degreesOfFreedom, generated.df);
    expectClose(test.t, generated.t);
    expectClose(test.p, generated.p);
    const wide = intervalOf(test, 0.95, distributions);
    expectClose(wide.low, generated.ci95[0] ?? NaN);
    expectClose(wide.high, generated.ci95[1] ?? NaN);
    const narrow = intervalOf(test, 0.9, distributions);
    expectClose(narrow.low, generated.ci90[0] ?? NaN);
    expectClose(narrow.high, generated.ci90[1] ?? NaN);
  });

  it('have what R printed for the clinic data (published)', () => {
    const test = welch(published.a, published.b, distributions);
    expectClose(test.difference, published.published.diff);
    expectClose(test.standardError, published.published.se);
    expectClose(test.degreesOfFreedom, published.published.df);
    expectClose(test.t, published.published.t);
    expectClose(test.p / 2, published.published.pGreater);
    const interval = intervalOf(test, 0.9, distributions);
    expectClose(interval.low, published.published.ci90[0] ?? NaN);
    expectClose(interval.high, published.published.ci90[1] ?? NaN);
  });

  it('are the sleep data of Student as R prints them: t -1.8608, 17.776 degrees of freedom, p 0.07939 (from memory)', () => {
    const test = welch(
      [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2],
      [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4],
      distributions,
    );
    expect(test.t).toBeCloseTo(-1.8608, 4);
    expect(test.degreesOfFreedom).toBeCloseTo(17.776, 3);
    expect(test.p).toBeCloseTo(0.07939, 5);
  });

  it('are refused where there is nothing to take scatter from', () => {
    for (const [a, b] of [
      [[1], [2, 3]],
      [[2, 3], [1]],
      [[], [2, 3]],
    ] as const) {
      expect(() => welch(a, b, distributions)).toThrow('at least two values on each side');
    }
    expect(() => welch([1, 1], [2, 2], distributions)).toThrow('values that scatter');
  });

  it('need two values on each side and no more', () => {
    // By hand: variances of the means 0.25 and 1, on one degree of freedom each; 1.25^2 / (0.25^2 + 1^2).
    const test = welch([1, 2], [4, 6], distributions);
    expect(test.difference).toBe(-3.5);
    expectClose(test.standardError, Math.sqrt(1.25));
    expectClose(test.degreesOfFreedom, 1.5625 / 1.0625);
  });
});

describe('the two one-sided tests', () => {
  it('have the t and p of scipy', () => {
    const test = welch(generated.a, generated.b, distributions);
    const found = tost(test, generated.tost, distributions);
    expectClose(found.tLower, generated.tost.tLower);
    expectClose(found.tUpper, generated.tost.tUpper);
    expectClose(found.pLower, generated.tost.pLower);
    expectClose(found.pUpper, generated.tost.pUpper);
    expectClose(found.p, generated.tost.p);
  });

  it('speak against a difference beyond a limit as they would for one as far within it', () => {
    const test = { difference: 2, standardError: 1, degreesOfFreedom: 7 };
    const within = tost(test, { low: -5, high: 3.5 }, distributions);
    const beyond = tost(test, { low: -5, high: 0.5 }, distributions);
    // scipy 1.17.1: t.sf(1.5, 7).
    expectClose(within.pUpper, 0.08864924349498501);
    expectClose(beyond.pUpper, 1 - 0.08864924349498501);
    expect(beyond.p).toBe(beyond.pUpper);
    expectClose(tost(test, { low: 2, high: 9 }, distributions).pLower, 0.5);
    expectClose(tost(test, { low: 3.5, high: 9 }, distributions).pLower, 1 - 0.08864924349498501);
  });

  it('have the p that R printed for the clinic data with a margin of 0.6 (published)', () => {
    const { margin } = published;
    const test = welch(published.a, published.b, distributions);
    expectClose(tost(test, { low: -margin, high: margin }, distributions).p, published.published.tostP);
  });

  it('pass at 5 % exactly where the 90 % interval lies within the limits', () => {
    const test = welch(published.a, published.b, distributions);
    const { high } = intervalOf(test, 0.9, distributions);
    for (const margin of [high - 1e-6, high + 1e-6]) {
      const { p } = tost(test, { low: -margin, high: margin }, distributions);
      expect(p < 0.05).toBe(margin > high);
    }
  });
});

describe("Hedges' g", () => {
  it('has the exact factor of scipy', () => {
    expectClose(hedgesCorrection(generated.pooled.df), generated.hedgesJ_exact);
    expectClose(hedgesCorrection(published.recomputed.pooled.df), published.recomputed.hedgesJ_exact);
  });

  it('has the values of scipy, with the exact factor rather than the usual approximation', () => {
    expectClose(hedgesG(generated.a, generated.b) ?? NaN, generated.hedgesG_exact);
    expectClose(hedgesG(published.a, published.b) ?? NaN, published.recomputed.hedgesG_exact);
    expect(hedgesG(generated.a, generated.b)).not.toBeCloseTo(generated.hedgesG_approx, 5);
  });

  it('is given only with five values on each side, and where something scatters', () => {
    expect(hedgesG([1, 2, 3, 4], [2, 3, 4, 5, 6])).toBeNull();
    expect(hedgesG([1, 1, 1, 1, 1], [2, 2, 2, 2, 2])).toBeNull();
  });
});
