import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import {
  evaluateFit,
  fitPolynomial,
  type FitModel,
  type FitPoint,
} from '../../../../shared-lib/calibration/fit-polynomial.ts';
import caseStudy from '../../../fixtures/reference-values/load-cell-case-study.json' with { type: 'json' };
import gum from '../../../fixtures/reference-values/gum.json' with { type: 'json' };
import noInt1 from '../../../fixtures/reference-values/nist-strd/noint1.json' with { type: 'json' };
import norris from '../../../fixtures/reference-values/nist-strd/norris.json' with { type: 'json' };
import pontius from '../../../fixtures/reference-values/nist-strd/pontius.json' with { type: 'json' };
import wampler1 from '../../../fixtures/reference-values/nist-strd/wampler1.json' with { type: 'json' };
import wampler2 from '../../../fixtures/reference-values/nist-strd/wampler2.json' with { type: 'json' };
import { solveNormalEquations } from './solve-normal-equations.ts';

interface StrdSet {
  readonly name: string;
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly certified: {
    readonly params: Readonly<Record<string, { readonly estimate: string; readonly sd: string }>>;
    readonly residualSd: string;
    readonly rSquared: string;
    readonly residualDf: number;
  };
}

const pointsOf = ({ x, y }: Pick<StrdSet, 'x' | 'y'>): FitPoint[] =>
  x.map((value, index) => ({ x: value, y: y[index] ?? Number.NaN }));

const fit = (points: readonly FitPoint[], degree: number, throughZero = false) =>
  fitPolynomial(points, { degree, throughZero }, distributions);

function expectRelative(actual: number | undefined, expected: number, tolerance: number): void {
  expect(Math.abs((actual ?? Number.NaN) - expected)).toBeLessThanOrEqual(tolerance * Math.abs(expected));
}

describe('repeats at as many levels as there are coefficients', () => {
  it('carry the curve through their means, and leave nothing by which it could miss them', () => {
    // Means 3 at 1 and 7 at 3: y = 1 + 2 x; four deviations of 0.5 with two degrees of freedom.
    const found = fit(
      [
        { x: 1, y: 2.5 },
        { x: 1, y: 3.5 },
        { x: 3, y: 6.5 },
        { x: 3, y: 7.5 },
      ],
      1,
    );
    expect(found.coefficients[0]).toBeCloseTo(1, 12);
    expect(found.coefficients[1]).toBeCloseTo(2, 12);
    expect(found.residualStandardDeviation).toBeCloseTo(Math.sqrt(0.5), 12);
    expect(found.lackOfFit).toBeNull();
  });
});

/** NIST Statistical Reference Datasets, linear regression; tolerances are what ordinary double arithmetic bears. */
describe.each<[StrdSet, FitModel, number]>([
  [norris, { degree: 1, throughZero: false }, 1e-9],
  [pontius, { degree: 2, throughZero: false }, 1e-9],
  [noInt1, { degree: 1, throughZero: true }, 1e-9],
  [wampler1, { degree: 5, throughZero: false }, 1e-6],
  [wampler2, { degree: 5, throughZero: false }, 1e-9],
])('the fit of NIST StRD $name', (set, model, tolerance) => {
  const params = Object.values(set.certified.params);

  it('has the certified coefficients', () => {
    const { coefficients } = fitPolynomial(pointsOf(set), model, distributions);
    expect(coefficients).toHaveLength(params.length);
    params.forEach(({ estimate }, index) => {
      expectRelative(coefficients[index], Number(estimate), tolerance);
    });
  });

  it('has the certified standard errors, residual scatter and share explained', () => {
    const found = fitPolynomial(pointsOf(set), model, distributions);
    const largest = Math.max(...set.y.map(Math.abs));
    // An exact fit certifies 0; rounding leaves some 1e-15 of the largest y.
    const slack = 1e-13 * largest;
    params.forEach(({ sd }, index) => {
      expect(Math.abs((found.standardErrors[index] ?? Number.NaN) - Number(sd))).toBeLessThanOrEqual(
        Number(sd) === 0 ? slack : tolerance * Number(sd),
      );
    });
    const residualSd = Number(set.certified.residualSd);
    expect(Math.abs(found.residualStandardDeviation - residualSd)).toBeLessThanOrEqual(
      residualSd === 0 ? slack : tolerance * residualSd,
    );
    expect(Math.abs(found.rSquared - Number(set.certified.rSquared))).toBeLessThan(1e-12);
    expect(found.degreesOfFreedom).toBe(set.certified.residualDf);
  });
});

describe('the normal equations', () => {
  it('lose the digits of Wampler1 that the fit keeps, which is why they are not used', () => {
    const truth = [1, 1, 1, 1, 1, 1];
    const worst = (coefficients: readonly number[]): number =>
      Math.max(...coefficients.map((value, index) => Math.abs(value - (truth[index] ?? 0))));
    const byQr = worst(fit(pointsOf(wampler1), 5).coefficients);
    const byNormalEquations = worst(solveNormalEquations(pointsOf(wampler1), 5));
    expect(byQr).toBeLessThan(1e-8);
    expect(byNormalEquations).toBeGreaterThan(1e-7);
    expect(byNormalEquations).toBeGreaterThan(100 * byQr);
  });
});

/** NIST/SEMATECH e-Handbook 4.6.1, load cell: as printed by a public replication script, full digits recomputed. */
describe.each([
  ['straight line', 1, caseStudy.computedHere.straightLine],
  ['quadratic', 2, caseStudy.computedHere.quadratic],
] as const)('the %s of the load-cell case study', (_, degree, expected) => {
  it('has the coefficients, their errors and t values', () => {
    const { coefficients, standardErrors } = fit(pointsOf(pontius), degree);
    expected.params.forEach((value, index) => {
      expectRelative(coefficients[index], value, 1e-6);
      expectRelative(standardErrors[index], expected.sd[index] ?? Number.NaN, 1e-6);
      expectRelative(
        (coefficients[index] ?? 0) / (standardErrors[index] ?? 1),
        expected.t[index] ?? Number.NaN,
        1e-6,
      );
    });
  });

  it('has the residuals and the lack of fit', () => {
    const { residuals, residualStandardDeviation, degreesOfFreedom, lackOfFit } = fit(
      pointsOf(pontius),
      degree,
    );
    expectRelative(residualStandardDeviation, expected.residualSd, 1e-6);
    expect(degreesOfFreedom).toBe(expected.residualDf);
    expectRelative(Math.min(...residuals), expected.residualMin, 1e-6);
    expectRelative(Math.max(...residuals), expected.residualMax, 1e-6);
    expect(lackOfFit).toMatchObject({ dfLackOfFit: expected.lackOfFitDf, dfPureError: expected.pureErrorDf });
    expectRelative(lackOfFit?.f, expected.lackOfFitF, 1e-6);
    expectRelative(lackOfFit?.p, expected.lackOfFitP, 1e-6);
  });
});

describe('the line of GUM H.3', () => {
  // JCGM 100:2008, H.3, through a public copy of the example; M1 to M4 of the reference list.
  const { t_k: temperatures, b_k: corrections } = gum.H3;
  const points = temperatures.map((t, index) => ({ x: t - 20, y: corrections[index] ?? Number.NaN }));

  it('has the printed parameters and their correlation', () => {
    const { coefficients, standardErrors, covariance } = fit(points, 1);
    expectRelative(coefficients[0], -0.1712037901313, 1e-8);
    expectRelative(coefficients[1], 0.00218269773989, 1e-8);
    expectRelative(standardErrors[0], 0.00287759784, 1e-8);
    expectRelative(standardErrors[1], 0.00066793877, 1e-8);
    const correlation = (covariance[0]?.[1] ?? 0) / ((standardErrors[0] ?? 1) * (standardErrors[1] ?? 1));
    expectRelative(correlation, -0.9304296, 1e-7);
  });

  it('predicts at 30 degrees with the covariance, without which the uncertainty would be nearly twice as large', () => {
    const found = fit(points, 1);
    expectRelative(evaluateFit(found, 10), -0.14937681, 1e-7);
    const [[v00 = 0, v01 = 0] = [], [, v11 = 0] = []] = found.covariance;
    expectRelative(Math.sqrt(v00 + 20 * v01 + 100 * v11), 0.0041386, 2e-6);
    expectRelative(Math.sqrt(v00 + 100 * v11), 0.0072728804, 1e-6);
  });
});

describe('weights', () => {
  it('count a point of weight 2 as two points of weight 1 at the same place', () => {
    const doubled = [1, 2, 3, 4, 4].map((x, index) => ({ x, y: [1.1, 1.9, 3.2, 3.9, 3.9][index] ?? 0 }));
    const weighted = [1, 2, 3, 4].map((x, index) => ({
      x,
      y: [1.1, 1.9, 3.2, 3.9][index] ?? 0,
      weight: x === 4 ? 2 : 1,
    }));
    fit(doubled, 1).coefficients.forEach((value, index) => {
      expectRelative(fit(weighted, 1).coefficients[index], value, 1e-13);
    });
  });
});

describe('points that cannot carry a fit', () => {
  const line = [1, 2, 3, 4].map((x) => ({ x, y: x }));
  it.each<[string, FitPoint[], FitModel, string, RegExp]>([
    [
      'too few points',
      line.slice(0, 2),
      { degree: 1, throughZero: false },
      'calibration-degenerate',
      /needs more than 2 points; there are 2/,
    ],
    [
      'equal x',
      line.map(({ y }) => ({ x: 5, y })),
      { degree: 1, throughZero: false },
      'calibration-degenerate',
      /too few different x/,
    ],
    [
      'only x = 0 through zero',
      line.map(({ y }) => ({ x: 0, y })),
      { degree: 1, throughZero: true },
      'calibration-degenerate',
      /too few different x/,
    ],
    [
      'no number',
      [...line, { x: Number.NaN, y: 1 }],
      { degree: 1, throughZero: false },
      'input-out-of-range',
      /Point 5/,
    ],
    [
      'a weight of nothing',
      [...line, { x: 5, y: 5, weight: 0 }],
      { degree: 1, throughZero: false },
      'input-out-of-range',
      /weight positive/,
    ],
  ])('are refused for %s', (_, points, model, code, message) => {
    expect(() => fitPolynomial(points, model, distributions)).toThrow(
      expect.objectContaining({ code, message: expect.stringMatching(message) as string }) as Error,
    );
  });
});
