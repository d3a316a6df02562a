export interface SaturatingRise {
  readonly amplitude: number;
  /** Per unit of x. */
  readonly rate: number;
  readonly amplitudeStandardError: number;
  readonly rateStandardError: number;
  /** n - 2 degrees of freedom. */
  readonly residualStandardDeviation: number;
}

const MOST_STEPS = 500;
const CONVERGED_SHARE = 1e-11;
const FIRST_DAMPING = 1e-3;

/**
 * Fits y = amplitude (1 - exp(-rate x)) by least squares, after Levenberg and Marquardt: the damping shrinks after a step
 * that helps and grows after one that does not, each parameter on its own scale.
 *
 * Shape: at least three points. Null where the points do not carry the model or the steps do not settle. Standard errors are
 * those of the linearised model, of points that are independent of each other.
 * Source: D. W. Marquardt, Journal of SIAM 11 (1963), from memory; checked against NIST StRD Misra1a from both of its starts.
 */
export function fitSaturatingRise(
  x: Float64Array,
  y: Float64Array,
  start: { readonly amplitude: number; readonly rate: number },
): SaturatingRise | null {
  if (x.length < 3) return null;
  let { amplitude, rate } = start;
  let normal = normalEquations(x, y, amplitude, rate);
  let damping = FIRST_DAMPING;
  for (let step = 0; step < MOST_STEPS; step += 1) {
    const change = solve(normal, damping);
    if (change === null) return null;
    const [amplitudeChange, rateChange] = change;
    const isSettled =
      Math.abs(amplitudeChange) <= CONVERGED_SHARE * Math.abs(amplitude) &&
      Math.abs(rateChange) <= CONVERGED_SHARE * Math.abs(rate);
    if (isSettled) return asResult(x.length, amplitude, rate, normal);
    const next = normalEquations(x, y, amplitude + amplitudeChange, rate + rateChange);
    if (next.squares <= normal.squares) {
      amplitude += amplitudeChange;
      rate += rateChange;
      normal = next;
      damping /= 10;
    } else {
      damping *= 10;
    }
  }
  return null;
}

/** J'J, J'r and r'r of the model's derivatives J and the residuals r. */
interface NormalEquations {
  readonly aa: number;
  readonly ab: number;
  readonly bb: number;
  readonly ar: number;
  readonly br: number;
  readonly squares: number;
}

function normalEquations(x: Float64Array, y: Float64Array, amplitude: number, rate: number): NormalEquations {
  let [aa, ab, bb, ar, br, squares] = [0, 0, 0, 0, 0, 0];
  for (let i = 0; i < x.length; i += 1) {
    const at = x[i] ?? Number.NaN;
    const byAmplitude = -Math.expm1(-rate * at);
    const byRate = amplitude * at * Math.exp(-rate * at);
    const residual = (y[i] ?? Number.NaN) - amplitude * byAmplitude;
    aa += byAmplitude ** 2;
    ab += byAmplitude * byRate;
    bb += byRate ** 2;
    ar += byAmplitude * residual;
    br += byRate * residual;
    squares += residual ** 2;
  }
  return { aa, ab, bb, ar, br, squares };
}

/** The change of both parameters; null where the derivatives do not tell them apart. */
function solve({ aa, ab, bb, ar, br }: NormalEquations, damping: number): [number, number] | null {
  const [dampedAa, dampedBb] = [aa * (1 + damping), bb * (1 + damping)];
  const determinant = dampedAa * dampedBb - ab ** 2;
  if (!(determinant > 0)) return null;
  return [(dampedBb * ar - ab * br) / determinant, (dampedAa * br - ab * ar) / determinant];
}

function asResult(
  n: number,
  amplitude: number,
  rate: number,
  { aa, ab, bb, squares }: NormalEquations,
): SaturatingRise | null {
  const determinant = aa * bb - ab ** 2;
  if (!(determinant > 0)) return null;
  const variance = squares / (n - 2);
  return {
    amplitude,
    rate,
    amplitudeStandardError: Math.sqrt((variance * bb) / determinant),
    rateStandardError: Math.sqrt((variance * aa) / determinant),
    residualStandardDeviation: Math.sqrt(variance),
  };
}
