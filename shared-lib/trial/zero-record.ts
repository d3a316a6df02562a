import { AppError } from '../app-error.ts';
import { measuringCurve, measuringWindowSamples } from '../signal/measuring-curve.ts';

export interface ZeroRecord {
  readonly meanCounts: number;
  /** Standard deviation (n - 1) of the measuring curve; null under 36 Sa/s, where there is none. */
  readonly noiseCounts: number | null;
  readonly peakToPeakCounts: number;
  readonly sampleCount: number;
}

const MIN_SAMPLES = 10;

/**
 * What a second of idle samples says about zero: mean, noise of the measuring curve, and peak to peak of the raw counts.
 *
 * Shape: counts in order, NaN where a sample was lost.
 * Errors: AppError 'input-out-of-range' for fewer than 10 samples.
 */
export function zeroRecord(counts: Float64Array, nominalRateHz: number): ZeroRecord {
  const samples = counts.filter((count) => !Number.isNaN(count));
  if (samples.length < MIN_SAMPLES) {
    throw new AppError(
      'input-out-of-range',
      `Zero rests on at least ${MIN_SAMPLES} samples; ${samples.length} arrived. The zero in use was not changed; ` +
        'wait until the amplifier sends steadily and take zero again.',
      { sampleCount: samples.length },
    );
  }
  let least = Number.POSITIVE_INFINITY;
  let greatest = Number.NEGATIVE_INFINITY;
  for (const count of samples) {
    least = Math.min(least, count);
    greatest = Math.max(greatest, count);
  }
  const windowSamples = measuringWindowSamples(nominalRateHz);
  return {
    meanCounts: mean(samples),
    noiseCounts:
      windowSamples === null
        ? null
        : standardDeviation(measuringCurve(counts, windowSamples).filter((value) => !Number.isNaN(value))),
    peakToPeakCounts: greatest - least,
    sampleCount: samples.length,
  };
}

function mean(values: Float64Array): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function standardDeviation(values: Float64Array): number | null {
  if (values.length < 2) return null;
  const centre = mean(values);
  return Math.sqrt(values.reduce((sum, value) => sum + (value - centre) ** 2, 0) / (values.length - 1));
}
