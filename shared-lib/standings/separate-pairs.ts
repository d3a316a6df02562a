import { percentileOfSorted } from '../signal/order-statistics.ts';

/** Standard deviations of all pairwise differences, and the largest standardised one of each draw. */
export interface PairStatistics {
  /** Takes the deviations of one plain draw from what was observed. */
  addPlain(deviations: Float64Array): void;
  /** Between the two passes. */
  finishErrors(): void;
  /** The largest |D_ij| / se_ij of one draw. */
  largest(deviations: Float64Array): number;
  /** se of the difference; 0: it does not scatter. */
  error(i: number, j: number): number;
}

const BATCH = 8;
/** Relative to the totals; below, a standard deviation is what rounding leaves of zero. */
const NO_ERROR = 1e-8;

/** `isOpen[i * count + j]`, i < j: 1 where the two could be told apart at all. */
export function createPairStatistics(
  count: number,
  isOpen: Uint8Array,
  observed: Float64Array,
): PairStatistics {
  const products = new Float64Array(count * count);
  const sums = new Float64Array(count);
  const batch = new Float64Array(count * BATCH);
  const errors = new Float64Array(count * count);
  const inverses = new Float64Array(count * count);
  const largestInverse = new Float64Array(count);
  let inBatch = 0;
  let drawCount = 0;

  const addBatch = (): void => {
    for (let i = 0; i < count; i += 1) {
      let sum = 0;
      for (let b = 0; b < BATCH; b += 1) sum += at(batch, i * BATCH + b);
      sums[i] = at(sums, i) + sum;
      addProducts(i);
    }
    batch.fill(0);
    inBatch = 0;
  };

  /** Of the draws of a batch at once: what is read and written is what takes the time. */
  const addProducts = (i: number): void => {
    const row = i * BATCH;
    const a0 = at(batch, row);
    const a1 = at(batch, row + 1);
    const a2 = at(batch, row + 2);
    const a3 = at(batch, row + 3);
    const a4 = at(batch, row + 4);
    const a5 = at(batch, row + 5);
    const a6 = at(batch, row + 6);
    const a7 = at(batch, row + 7);
    const place = i * count;
    for (let j = i; j < count; j += 1) {
      const other = j * BATCH;
      const low =
        a0 * at(batch, other) +
        a1 * at(batch, other + 1) +
        a2 * at(batch, other + 2) +
        a3 * at(batch, other + 3);
      const high =
        a4 * at(batch, other + 4) +
        a5 * at(batch, other + 5) +
        a6 * at(batch, other + 6) +
        a7 * at(batch, other + 7);
      products[place + j] = at(products, place + j) + (low + high);
    }
  };

  return {
    addPlain(deviations) {
      for (let k = 0; k < count; k += 1) batch[k * BATCH + inBatch] = at(deviations, k);
      inBatch += 1;
      drawCount += 1;
      if (inBatch === BATCH) addBatch();
    },
    finishErrors() {
      if (inBatch > 0) addBatch();
      for (let i = 0; i < count; i += 1) {
        for (let j = i + 1; j < count; j += 1) {
          const place = i * count + j;
          const meanSquare =
            (at(products, i * count + i) + at(products, j * count + j) - 2 * at(products, place)) / drawCount;
          const mean = (at(sums, i) - at(sums, j)) / drawCount;
          const error = Math.sqrt(Math.max(0, meanSquare - mean * mean));
          const scale = Math.max(Math.abs(at(observed, i)), Math.abs(at(observed, j)));
          errors[place] = error > NO_ERROR * scale ? error : 0;
          if (isOpen[place] !== 1 || !(at(errors, place) > 0)) continue;
          inverses[place] = 1 / at(errors, place);
          largestInverse[i] = Math.max(at(largestInverse, i), at(inverses, place));
        }
      }
    },
    largest(deviations) {
      let lowest = 0;
      let highest = 0;
      for (let k = 1; k < count; k += 1) {
        if (at(deviations, k) < at(deviations, lowest)) lowest = k;
        if (at(deviations, k) > at(deviations, highest)) highest = k;
      }
      const low = at(deviations, lowest);
      const high = at(deviations, highest);
      let best = (high - low) * at(inverses, Math.min(lowest, highest) * count + Math.max(lowest, highest));
      for (let i = 0; i < count; i += 1) {
        const own = at(deviations, i);
        // No pair of this row can exceed it, and mostly that is already less than what was found.
        if (Math.max(own - low, high - own) * at(largestInverse, i) <= best) continue;
        const place = i * count;
        for (let j = i + 1; j < count; j += 1) {
          const ratio = Math.abs(own - at(deviations, j)) * at(inverses, place + j);
          if (ratio > best) best = ratio;
        }
      }
      return best;
    },
    error: (i, j) => at(errors, Math.min(i, j) * count + Math.max(i, j)),
  };
}

/** 95th percentile, type 7. */
export function criticalValueOf(largest: Float64Array): number {
  return percentileOfSorted(largest.slice().sort(), 0.95);
}

function at(column: Float64Array, index: number): number {
  return column[index] ?? Number.NaN;
}
