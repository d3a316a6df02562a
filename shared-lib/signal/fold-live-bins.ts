/** Complete bins in order; bin i covers slots (firstBin + i) * samplesPerBin and on. NaN: no sample in the bin. */
export interface FoldedBins {
  readonly firstBin: number;
  readonly min: Float32Array;
  readonly max: Float32Array;
}

export interface BinFolder {
  /** `values[i]` belongs to slot `firstSlot + i`; NaN is "no sample". Returns the bins that this push completed. */
  push(firstSlot: number, values: Float64Array): FoldedBins;
}

/**
 * A gap of up to this many bins is filled with empty bins; after a longer one the bins begin anew behind the gap and
 * what the unfinished bin held is not drawn. It bounds the memory that a jumping counter can ask for.
 */
export const MAX_EMPTY_BINS = 65_536;

/**
 * Folds a stream of samples into the least and greatest value per bin, for the live curve.
 *
 * Slots only grow; a push may leave slots out (they hold no sample) but going back throws: another segment needs
 * another folder. Bins lie on multiples of `samplesPerBin`, so a stream that starts inside a bin fills part of it.
 */
export function createBinFolder(samplesPerBin: number): BinFolder {
  if (!Number.isInteger(samplesPerBin) || samplesPerBin < 1) {
    throw new RangeError(`A bin takes a whole number of samples, at least 1; ${samplesPerBin} is not.`);
  }
  let nextSlot: number | null = null;
  let openBin = 0;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;

  const clearOpenBin = (): void => {
    low = Number.POSITIVE_INFINITY;
    high = Number.NEGATIVE_INFINITY;
  };

  return {
    push(firstSlot, values) {
      if (nextSlot !== null && firstSlot < nextSlot) {
        throw new RangeError(`Slot ${firstSlot} was folded already; the next one is ${nextSlot}.`);
      }
      const startBin = Math.floor(firstSlot / samplesPerBin);
      if (nextSlot === null || startBin - openBin > MAX_EMPTY_BINS) {
        openBin = startBin;
        clearOpenBin();
      }
      nextSlot = firstSlot + values.length;

      const firstBin = openBin;
      const completed = Math.floor(nextSlot / samplesPerBin) - firstBin;
      const min = new Float32Array(completed);
      const max = new Float32Array(completed);
      const closeBinsUpTo = (bin: number): void => {
        for (; openBin < bin; openBin += 1) {
          const isEmpty = low > high;
          min[openBin - firstBin] = isEmpty ? Number.NaN : low;
          max[openBin - firstBin] = isEmpty ? Number.NaN : high;
          clearOpenBin();
        }
      };

      closeBinsUpTo(startBin);
      let slotsLeftInBin = (openBin + 1) * samplesPerBin - firstSlot;
      for (let index = 0; index < values.length; index += 1) {
        const value = values[index] ?? Number.NaN;
        if (slotsLeftInBin === 0) {
          closeBinsUpTo(openBin + 1);
          slotsLeftInBin = samplesPerBin;
        }
        if (value < low) low = value;
        if (value > high) high = value;
        slotsLeftInBin -= 1;
      }
      closeBinsUpTo(firstBin + completed);
      return { firstBin, min, max };
    },
  };
}

/**
 * The least and greatest value of a stretch of a stored curve, in at most `bins` bins of nearly equal width.
 *
 * Shape: of n = toIndex - fromIndex values (toIndex excluded), bin i of m = min(bins, n) takes the indices from
 * fromIndex + floor(i n / m) up to, not including, fromIndex + floor((i + 1) n / m): every value is in exactly one bin,
 * none is empty, and an edge lies less than one sample before the even division. NaN: no sample in the bin.
 */
export function reduceMinMax(
  values: Float64Array,
  fromIndex: number,
  toIndex: number,
  bins: number,
): { readonly min: Float64Array; readonly max: Float64Array } {
  const isWhole = [fromIndex, toIndex, bins].every(Number.isInteger);
  if (!isWhole || fromIndex < 0 || toIndex > values.length || fromIndex > toIndex || bins < 1) {
    throw new RangeError(
      `Cannot put values ${fromIndex} to ${toIndex} of ${values.length} into ${bins} bins.`,
    );
  }
  const valueCount = toIndex - fromIndex;
  const binCount = Math.min(bins, valueCount);
  const min = new Float64Array(binCount);
  const max = new Float64Array(binCount);
  let index = fromIndex;
  for (let bin = 0; bin < binCount; bin += 1) {
    const end = fromIndex + Math.floor(((bin + 1) * valueCount) / binCount);
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    for (; index < end; index += 1) {
      const value = values[index] ?? Number.NaN;
      if (value < low) low = value;
      if (value > high) high = value;
    }
    min[bin] = low > high ? Number.NaN : low;
    max[bin] = low > high ? Number.NaN : high;
  }
  return { min, max };
}
