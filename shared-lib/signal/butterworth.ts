import { AppError } from '../app-error.ts';

/** One second-order section with unit gain at rest: y = (b0 + b1 z^-1 + b2 z^-2) / (1 + a1 z^-1 + a2 z^-2) x. */
export interface FilterSection {
  readonly b0: number;
  readonly b1: number;
  readonly b2: number;
  readonly a1: number;
  readonly a2: number;
}

/**
 * A digital Butterworth low-pass of even order as second-order sections, by bilinear transform with pre-warping: one
 * pass has a gain of exactly 2^-1/2 at the cut-off, forward and backward together exactly 1/2 (-6 dB).
 *
 * Errors: AppError 'input-out-of-range' for an odd order, or a cut-off that is not between 0 and half the rate.
 * Source: analogue prototype and transform as in any text on digital filters; coefficients and outputs checked against
 * tests/fixtures/reference-values/signal-butterworth.json.
 */
export function designButterworthLowPass(
  order: number,
  cutoffHz: number,
  sampleRateHz: number,
): FilterSection[] {
  if (!Number.isInteger(order) || order < 2 || order % 2 !== 0) {
    throw new AppError(
      'input-out-of-range',
      `The filter is built for even orders from 2; ${order} is not one.`,
    );
  }
  if (!(cutoffHz > 0 && cutoffHz < sampleRateHz / 2 && Number.isFinite(sampleRateHz))) {
    throw new AppError(
      'input-out-of-range',
      `A low-pass at ${cutoffHz} Hz needs more than ${2 * cutoffHz} Sa/s; the data has ${sampleRateHz}. The data is not affected; look at it unfiltered.`,
    );
  }
  const warped = Math.tan((Math.PI * cutoffHz) / sampleRateHz);
  return Array.from({ length: order / 2 }, (_, section) => {
    // Poles in pairs at angles (2 k + 1) pi / (2 order) from the imaginary axis; sin gives half the damping term.
    const damping = 2 * Math.sin(((2 * section + 1) * Math.PI) / (2 * order));
    const scale = 1 / (1 + damping * warped + warped ** 2);
    const b0 = warped ** 2 * scale;
    return {
      b0,
      b1: 2 * b0,
      b2: b0,
      a1: 2 * (warped ** 2 - 1) * scale,
      a2: (1 - damping * warped + warped ** 2) * scale,
    };
  });
}

/**
 * Filters `values` in place, in one direction, as if the first value had stood since ever (no starting transient).
 * Shape: no NaN; one would spread to everything behind it.
 */
export function filterFromSteadyStart(
  sections: readonly FilterSection[],
  values: Float64Array,
  direction: 'forward' | 'backward' = 'forward',
): void {
  const n = values.length;
  const step = direction === 'forward' ? 1 : -1;
  const first = direction === 'forward' ? 0 : n - 1;
  for (const { b0, b1, b2, a1, a2 } of sections) {
    // With unit gain at rest a constant x leaves the two delays of the transposed form at (1 - b0) x and (b2 - a2) x.
    const start = values[first] ?? 0;
    let delay1 = (1 - b0) * start;
    let delay2 = (b2 - a2) * start;
    for (let done = 0, i = first; done < n; done += 1, i += step) {
      const x = values[i] ?? 0;
      const y = b0 * x + delay1;
      delay1 = b1 * x - a1 * y + delay2;
      delay2 = b2 * x - a2 * y;
      values[i] = y;
    }
  }
}

/** Samples by which each end is extended: three times the filter's taps. */
export function paddingSamples(sections: readonly FilterSection[]): number {
  return 3 * (2 * sections.length + 1);
}

/**
 * Filters forward and backward, so that nothing is shifted in time. Each end is extended by its own reflection in the
 * end point (odd extension) to start both passes without a step.
 *
 * Shape: more than `paddingSamples(sections)` values, no NaN. `values` is left as it is.
 * Errors: AppError 'input-out-of-range' for fewer values.
 */
export function filterZeroPhase(sections: readonly FilterSection[], values: Float64Array): Float64Array {
  const n = values.length;
  const padding = paddingSamples(sections);
  if (n <= padding) {
    throw new AppError(
      'input-out-of-range',
      `Smoothing needs more than ${padding} samples in a row; there are ${n}. The samples are not affected.`,
    );
  }
  const extended = new Float64Array(n + 2 * padding);
  extended.set(values, padding);
  const firstValue = values[0] ?? 0;
  const lastValue = values[n - 1] ?? 0;
  for (let i = 1; i <= padding; i += 1) {
    extended[padding - i] = 2 * firstValue - (values[i] ?? 0);
    extended[padding + n - 1 + i] = 2 * lastValue - (values[n - 1 - i] ?? 0);
  }
  filterFromSteadyStart(sections, extended, 'forward');
  filterFromSteadyStart(sections, extended, 'backward');
  return extended.slice(padding, padding + n);
}

const DISPLAY_CUTOFF_HZ = 20;
const DISPLAY_MIN_RATE_HZ = 80;
/** A fitted rate may lie this much under the nominal one before it counts as off nominal. */
const RATE_ALLOWANCE = 0.98;

/** Whether there is a display curve at this rate; by the fitted rate from 78.4 Sa/s, since a fit may lie 2 % off the nominal rate. */
export function hasDisplayCurve(sampleRateHz: number): boolean {
  return sampleRateHz >= DISPLAY_MIN_RATE_HZ * RATE_ALLOWANCE;
}

/**
 * The display curve of a stored trial: zero-phase Butterworth low-pass, order 2 forward and back, -6 dB at 20 Hz.
 * For the eye only: it rings by a few percent at steps, and no measure is taken from it.
 *
 * Every run of samples between gaps (NaN) is filtered by itself, so that nothing is invented across a gap; the gaps, and
 * runs too short to filter (9 samples or fewer), are NaN.
 * Null under 80 Sa/s, see `hasDisplayCurve`.
 */
export function displayCurve(torqueNm: Float64Array, sampleRateHz: number): Float64Array | null {
  if (!hasDisplayCurve(sampleRateHz)) return null;
  const sections = designButterworthLowPass(2, DISPLAY_CUTOFF_HZ, sampleRateHz);
  const padding = paddingSamples(sections);
  const curve = new Float64Array(torqueNm.length).fill(Number.NaN);
  let start = 0;
  while (start < torqueNm.length) {
    let end = start;
    while (end < torqueNm.length && !Number.isNaN(torqueNm[end])) end += 1;
    if (end - start > padding) curve.set(filterZeroPhase(sections, torqueNm.subarray(start, end)), start);
    start = end + 1;
  }
  return curve;
}
