import { Matrix, QrDecomposition } from 'ml-matrix';
import { AppError } from '../app-error.ts';
import type { Distributions } from './distributions.ts';

export interface FitPoint {
  readonly x: number;
  readonly y: number;
  /** Relative weight, > 0: a point of weight 2 counts as two of weight 1 at the same place. Left out: 1. */
  readonly weight?: number;
}

export interface FitModel {
  readonly degree: number;
  /** Without a constant, so that nothing reads as nothing. */
  readonly throughZero: boolean;
}

/** Whether the curve misses the means at the levels by more than the repeats at each level scatter. */
export interface LackOfFit {
  readonly f: number;
  readonly dfLackOfFit: number;
  readonly dfPureError: number;
  readonly p: number;
}

export interface PolynomialFit {
  readonly model: FitModel;
  /** Ascending powers; without the constant where the model has none. */
  readonly coefficients: readonly number[];
  readonly standardErrors: readonly number[];
  /** Covariances of the coefficients, in the same order. */
  readonly covariance: readonly (readonly number[])[];
  readonly residuals: readonly number[];
  readonly residualStandardDeviation: number;
  readonly degreesOfFreedom: number;
  /** About the mean with a constant, about zero without one. */
  readonly rSquared: number;
  /** Null without repeats at equal x, or without levels to spare. */
  readonly lackOfFit: LackOfFit | null;
}

/**
 * Fits y as a polynomial in x by least squares.
 *
 * Why QR: the normal equations square the condition of the problem; NIST's Wampler1 loses half its digits by them.
 * Powers are taken of x over its largest magnitude, so that columns stay comparable whatever the unit.
 * Shape: more points than coefficients, at least as many distinct x as coefficients; weights > 0.
 * Errors: AppError 'calibration-degenerate' where the points cannot carry the model, 'input-out-of-range' where a number is
 * no number or a weight is not positive.
 * Source: least squares by Householder QR (Golub and Van Loan, from memory); checked against NIST StRD Norris, Pontius,
 * NoInt1, Wampler1, Wampler2 and the load-cell case study of the NIST/SEMATECH handbook 4.6.1.
 */
export function fitPolynomial(
  points: readonly FitPoint[],
  model: FitModel,
  distributions: Pick<Distributions, 'fUpperTail'>,
): PolynomialFit {
  const powers = powersOf(model);
  requireUsable(points, model, powers.length);

  const scale = Math.max(...points.map(({ x }) => Math.abs(x)));
  const roots = points.map(({ weight = 1 }) => Math.sqrt(weight));
  const rows = points.map(({ x }, row) => powers.map((power) => (roots[row] ?? 1) * (x / scale) ** power));
  const design = new Matrix(rows);
  const target = Matrix.columnVector(points.map(({ y }, row) => (roots[row] ?? 1) * y));
  const qr = new QrDecomposition(design);
  if (!qr.isFullRank()) throw tooFewLevels(powers.length);
  const scaled = qr.solve(target).to1DArray();

  const coefficients = powers.map((power, index) => (scaled[index] ?? Number.NaN) / scale ** power);
  const residuals = points.map(({ x, y }) => y - evaluatePowers(scaled, powers, x / scale));
  const squares = weightedSum(points, (_, row) => (residuals[row] ?? Number.NaN) ** 2);
  const degreesOfFreedom = points.length - powers.length;
  const variance = squares / degreesOfFreedom;
  const covariance = inverseOfGram(qr).map((row, i) =>
    row.map((value, j) => (value * variance) / scale ** ((powers[i] ?? 0) + (powers[j] ?? 0))),
  );
  return {
    model,
    coefficients,
    standardErrors: covariance.map((row, index) => Math.sqrt(row[index] ?? Number.NaN)),
    covariance,
    residuals,
    residualStandardDeviation: Math.sqrt(variance),
    degreesOfFreedom,
    rSquared: 1 - squares / totalSquares(points, model),
    lackOfFit: testLackOfFit(points, squares, powers.length, distributions),
  };
}

/** y of the fitted curve. */
export function evaluateFit({ coefficients, model }: PolynomialFit, x: number): number {
  return evaluatePowers(coefficients, powersOf(model), x);
}

function powersOf({ degree, throughZero }: FitModel): number[] {
  if (!Number.isInteger(degree) || degree < 1) throw new RangeError(`A polynomial has no degree ${degree}.`);
  return Array.from({ length: throughZero ? degree : degree + 1 }, (_, index) =>
    throughZero ? index + 1 : index,
  );
}

/** Horner's scheme; `powers` are consecutive. */
function evaluatePowers(coefficients: readonly number[], powers: readonly number[], x: number): number {
  let value = 0;
  for (let index = coefficients.length - 1; index >= 0; index -= 1)
    value = value * x + (coefficients[index] ?? 0);
  return powers[0] === 1 ? value * x : value;
}

function requireUsable(points: readonly FitPoint[], { degree }: FitModel, coefficientCount: number): void {
  for (const [index, { x, y, weight = 1 }] of points.entries()) {
    if (Number.isFinite(x) && Number.isFinite(y) && Number.isFinite(weight) && weight > 0) continue;
    throw new AppError(
      'input-out-of-range',
      `Point ${index + 1} (x ${x}, y ${y}, weight ${weight}) cannot be fitted: x and y must be numbers and the weight positive. Nothing was fitted; correct it or take it out with a reason.`,
      { point: index + 1 },
    );
  }
  if (points.length <= coefficientCount) {
    throw new AppError(
      'calibration-degenerate',
      `A curve of degree ${degree} has ${coefficientCount} coefficients and needs more than ${coefficientCount} points; there are ${points.length}. Measure more points or lower the degree.`,
      { points: points.length, coefficients: coefficientCount },
    );
  }
  const levels = new Set(points.map(({ x }) => x));
  // Without a constant a level at zero carries nothing: every such curve passes through it.
  if (coefficientCount === degree) levels.delete(0);
  if (levels.size < coefficientCount) throw tooFewLevels(coefficientCount, levels.size);
}

function tooFewLevels(coefficientCount: number, levels?: number): AppError {
  return new AppError(
    'calibration-degenerate',
    `The points lie at too few different x${levels === undefined ? '' : ` (${levels})`} to carry ${coefficientCount} coefficients. Measure at more levels or lower the degree.`,
    { coefficients: coefficientCount },
  );
}

/** (R'R)^-1 from the triangular factor alone, so that nothing is squared. */
function inverseOfGram(qr: QrDecomposition): number[][] {
  const r = qr.upperTriangularMatrix;
  const size = r.columns;
  const inverse = Matrix.zeros(size, size);
  for (let column = 0; column < size; column += 1) {
    for (let row = column; row >= 0; row -= 1) {
      let sum = row === column ? 1 : 0;
      for (let k = row + 1; k <= column; k += 1) sum -= r.get(row, k) * inverse.get(k, column);
      inverse.set(row, column, sum / r.get(row, row));
    }
  }
  return inverse.mmul(inverse.transpose()).to2DArray();
}

function weightedSum(points: readonly FitPoint[], term: (point: FitPoint, index: number) => number): number {
  return points.reduce((sum, point, index) => sum + (point.weight ?? 1) * term(point, index), 0);
}

function totalSquares(points: readonly FitPoint[], { throughZero }: FitModel): number {
  const about = throughZero ? 0 : weightedSum(points, ({ y }) => y) / weightedSum(points, () => 1);
  return weightedSum(points, ({ y }) => (y - about) ** 2);
}

/** Repeats are points of equal x; levels are compared as written, not within a tolerance. */
function testLackOfFit(
  points: readonly FitPoint[],
  residualSquares: number,
  coefficientCount: number,
  { fUpperTail }: Pick<Distributions, 'fUpperTail'>,
): LackOfFit | null {
  const levels = Map.groupBy(points, ({ x }) => x);
  const dfPureError = points.length - levels.size;
  const dfLackOfFit = levels.size - coefficientCount;
  if (dfPureError === 0 || dfLackOfFit < 1) return null;
  let pureError = 0;
  for (const repeats of levels.values()) {
    const mean = weightedSum(repeats, ({ y }) => y) / weightedSum(repeats, () => 1);
    pureError += weightedSum(repeats, ({ y }) => (y - mean) ** 2);
  }
  // Repeats that agree to the last digit say nothing of how far a curve may miss them.
  if (pureError === 0) return null;
  const f = Math.max(0, residualSquares - pureError) / dfLackOfFit / (pureError / dfPureError);
  return { f, dfLackOfFit, dfPureError, p: fUpperTail(f, dfLackOfFit, dfPureError) };
}
