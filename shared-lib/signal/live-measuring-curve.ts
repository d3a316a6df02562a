export interface LiveMeasuringCurve {
  /**
   * Takes the next sample, NaN where it was lost; returns the measuring curve half a window before it, NaN where less than
   * half of that window is there.
   */
  push(value: number): number;
}

/**
 * `measuringCurve` of a stream, to the last bit: the value of a sample is known half a window later, and never looked at
 * again. `windowSamples` is odd.
 *
 * Holds one window and makes nothing anew, since it runs for every sample while a tool is waited for and watched.
 */
export function createLiveMeasuringCurve(windowSamples: number): LiveMeasuringCurve {
  if (!Number.isInteger(windowSamples) || windowSamples < 1 || windowSamples % 2 === 0) {
    throw new RangeError(`A centred window takes an odd number of samples; ${windowSamples} is not one.`);
  }
  const block = new Float64Array(windowSamples).fill(Number.NaN);
  /** What the block before comes to from each of its samples to its end. */
  const tailSums = new Float64Array(windowSamples + 1);
  const tailCounts = new Int32Array(windowSamples + 1);
  // The first window reaches back to before the stream began.
  let filled = (windowSamples - 1) / 2;
  let headSum = 0;
  let headCount = 0;

  const sumTails = (): void => {
    let sum = 0;
    let count = 0;
    for (let index = windowSamples - 1; index >= 0; index -= 1) {
      const value = block[index] ?? Number.NaN;
      if (!Number.isNaN(value)) {
        sum += value;
        count += 1;
      }
      tailSums[index] = sum;
      tailCounts[index] = count;
    }
  };

  return {
    push(value) {
      block[filled] = value;
      filled += 1;
      if (!Number.isNaN(value)) {
        headSum += value;
        headCount += 1;
      }
      if (filled === windowSamples) {
        sumTails();
        filled = 0;
        headSum = 0;
        headCount = 0;
      }
      const present = (tailCounts[filled] ?? 0) + headCount;
      const total = (tailSums[filled] ?? 0) + headSum;
      return 2 * present < windowSamples ? Number.NaN : total / present;
    },
  };
}
