/** What single readings scatter at each torque, in counts. */
export interface ScatterAlongTorque {
  at(torqueNm: number): { readonly standardDeviationCounts: number; readonly degreesOfFreedom: number };
}

/** Mean square of what is left of the readings of one step, with the degrees of freedom that it has. */
export interface StepSquares {
  readonly torqueNm: number;
  readonly meanSquare: number;
  readonly degreesOfFreedom: number;
}

/** The weights rest on the variances that they lead to; so often is enough for three digits. */
const ROUNDS = 8;

/**
 * Scatter has a part that is the same at every torque (noise, the zero) and one that grows with it (where a weight hangs):
 * variance = a + b T^2, both not negative, by least squares over the steps, each weighted by what its variance is known to.
 * Pooled in counts alone, scatter of the second kind comes out too small at the top; pooled in percent alone, that of the
 * first kind at the bottom. Degrees of freedom at a torque: 2 v^2 / var(v) (Satterthwaite), v the variance there.
 * Shape: at least one step.
 */
export function scatterAlongTorque(steps: readonly StepSquares[]): ScatterAlongTorque {
  const total = steps.reduce((sum, { degreesOfFreedom }) => sum + degreesOfFreedom, 0);
  const pooled =
    steps.reduce((sum, { meanSquare, degreesOfFreedom }) => sum + meanSquare * degreesOfFreedom, 0) / total;
  const topNm = Math.max(...steps.map(({ torqueNm }) => Math.abs(torqueNm)));
  const flat = {
    at: () => ({ standardDeviationCounts: Math.sqrt(pooled), degreesOfFreedom: total }),
  };
  if (steps.length < 3 || pooled === 0) return flat;

  const squareOf = (torqueNm: number): number => (torqueNm / topNm) ** 2;
  let variance = (_: number): number => pooled;
  let weighed = weigh(steps, squareOf, variance);
  for (let round = 0; round < ROUNDS; round += 1) {
    const { constant, growing } = weighed;
    // A part that is nothing must not give a step a weight without bounds.
    variance = (torqueNm) => Math.max(constant + growing * squareOf(torqueNm), 1e-3 * pooled);
    weighed = weigh(steps, squareOf, variance);
  }
  return {
    at(torqueNm) {
      const x = squareOf(torqueNm);
      const { constant, growing } = weighed;
      const found = constant + growing * x;
      // Each step's own mean square has the variance 2 v^2 / its degrees of freedom.
      const ofFound = steps.reduce((sum, { torqueNm: at, degreesOfFreedom }, index) => {
        const influence = weighed.influence(index, x);
        return sum + (2 * influence ** 2 * variance(at) ** 2) / degreesOfFreedom;
      }, 0);
      const degreesOfFreedom = Math.min(total, (2 * found ** 2) / ofFound);
      return { standardDeviationCounts: Math.sqrt(found), degreesOfFreedom };
    },
  };
}

interface Weighed {
  readonly constant: number;
  readonly growing: number;
  /** Change of the variance at x = (T / top)^2 with the mean square of a step. */
  influence(index: number, x: number): number;
}

function weigh(
  steps: readonly StepSquares[],
  squareOf: (torqueNm: number) => number,
  variance: (torqueNm: number) => number,
): Weighed {
  const rows = steps.map(({ torqueNm, meanSquare, degreesOfFreedom }) => ({
    x: squareOf(torqueNm),
    y: meanSquare,
    w: degreesOfFreedom / variance(torqueNm) ** 2,
  }));
  const sum = (of: (row: (typeof rows)[number]) => number): number =>
    rows.reduce((total, row) => total + of(row), 0);
  const [w, wx, wxx] = [sum((row) => row.w), sum((row) => row.w * row.x), sum((row) => row.w * row.x ** 2)];
  const [wy, wxy] = [sum((row) => row.w * row.y), sum((row) => row.w * row.x * row.y)];
  const determinant = w * wxx - wx ** 2;
  const constant = (wxx * wy - wx * wxy) / determinant;
  const growing = (w * wxy - wx * wy) / determinant;
  const weightOf = (index: number): { x: number; w: number } => rows[index] ?? { x: 0, w: 0 };
  if (constant < 0) {
    return {
      constant: 0,
      growing: wxy / wxx,
      influence: (index, x) => (x * weightOf(index).w * weightOf(index).x) / wxx,
    };
  }
  if (growing < 0) return { constant: wy / w, growing: 0, influence: (index) => weightOf(index).w / w };
  return {
    constant,
    growing,
    influence(index, x) {
      const row = weightOf(index);
      return (row.w * (wxx - wx * row.x + x * (w * row.x - wx))) / determinant;
    },
  };
}
