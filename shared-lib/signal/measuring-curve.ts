/** Under this rate no trial is measured: the window of 9 samples would be longer than 250 ms. */
export const MIN_MEASURING_RATE_HZ = 36;

/** A mean of fewer would follow single blows. */
const MIN_WINDOW_SAMPLES = 9;

/**
 * Length of the measuring window: max(9, 2 floor(0.05 R) + 1) samples at nominal rate R, about 100 ms from 90 Sa/s up.
 * Null under 36 Sa/s. `windowS`: another one, for a what-if.
 */
export function measuringWindowSamples(nominalRateHz: number, windowS = 0.1): number | null {
  if (!(nominalRateHz >= MIN_MEASURING_RATE_HZ)) return null;
  return Math.max(MIN_WINDOW_SAMPLES, 2 * Math.floor((windowS / 2) * nominalRateHz) + 1);
}

/**
 * The measuring curve: at each sample the mean of the samples in a window of `windowSamples` (odd) centred on it; NaN
 * where less than half of the window is there, be it for gaps (NaN) or for the record's ends.
 *
 * Cost: about three additions per sample whatever the window. Values are never taken out of a sum again: the record is cut
 * into blocks as long as the window, so a window is the tail of one block and the head of the next, and both are grown by
 * adding. Each mean thus rounds like a sum of its own samples; a running sum would carry every error on to the end.
 */
export function measuringCurve(values: Float64Array, windowSamples: number): Float64Array {
  if (!Number.isInteger(windowSamples) || windowSamples < 1 || windowSamples % 2 === 0) {
    throw new RangeError(`A centred window takes an odd number of samples; ${windowSamples} is not one.`);
  }
  const n = values.length;
  const half = (windowSamples - 1) / 2;
  const curve = new Float64Array(n);
  const tailSums = new Float64Array(windowSamples);
  const tailCounts = new Int32Array(windowSamples);

  // Window number k covers the indices k - half to k + half; the first block therefore starts before the record.
  for (let blockStart = -half; blockStart + half < n; blockStart += windowSamples) {
    let sum = 0;
    let count = 0;
    for (let i = windowSamples - 1; i >= 0; i -= 1) {
      const value = valueAt(values, blockStart + i);
      if (!Number.isNaN(value)) {
        sum += value;
        count += 1;
      }
      tailSums[i] = sum;
      tailCounts[i] = count;
    }
    let headSum = 0;
    let headCount = 0;
    const windowsInBlock = Math.min(windowSamples, n - half - blockStart);
    for (let i = 0; i < windowsInBlock; i += 1) {
      const present = (tailCounts[i] ?? 0) + headCount;
      const total = (tailSums[i] ?? 0) + headSum;
      curve[blockStart + half + i] = 2 * present < windowSamples ? Number.NaN : total / present;
      const next = valueAt(values, blockStart + windowSamples + i);
      if (!Number.isNaN(next)) {
        headSum += next;
        headCount += 1;
      }
    }
  }
  return curve;
}

/** NaN beyond the ends, which are looked for first: once an engine has read out of bounds it takes two thirds longer for every value. */
function valueAt(values: Float64Array, index: number): number {
  return index >= 0 && index < values.length ? (values[index] ?? Number.NaN) : Number.NaN;
}
