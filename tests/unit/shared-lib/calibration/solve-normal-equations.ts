import { Matrix, solve } from 'ml-matrix';
import type { FitPoint } from '../../../../shared-lib/calibration/fit-polynomial.ts';

/** The way not taken: X'X b = X'y. It squares the condition of the problem. */
export function solveNormalEquations(points: readonly FitPoint[], degree: number): number[] {
  const design = new Matrix(
    points.map(({ x }) => Array.from({ length: degree + 1 }, (_, power) => x ** power)),
  );
  const target = Matrix.columnVector(points.map(({ y }) => y));
  const transposed = design.transpose();
  return solve(transposed.mmul(design), transposed.mmul(target)).to1DArray();
}
