export interface LatestMean {
  /** `values[i]` belongs to slot `firstSlot + i`, NaN where it was lost. Slots only grow, and may be left out. */
  push(firstSlot: number, values: Float64Array): void;
  /** Of the newest slots, lost ones left out; null where nothing is. */
  mean(): number | null;
}

interface Part {
  readonly firstSlot: number;
  readonly values: Float64Array;
  readonly sum: number;
  readonly count: number;
}

/**
 * The mean of the newest `slotCount` slots of a stream. Holds what was pushed, as it is, and adds up once what is whole in the
 * window, since it is asked for with every block.
 */
export function createLatestMean(slotCount: number): LatestMean {
  let parts: Part[] = [];
  let end = 0;
  return {
    push(firstSlot, values) {
      end = firstSlot + values.length;
      parts.push({ firstSlot, values, ...sumFrom(values, 0) });
      const expired = parts.findIndex((part) => part.firstSlot + part.values.length > end - slotCount);
      if (expired > 0) parts = parts.slice(expired);
    },
    mean() {
      let sum = 0;
      let count = 0;
      for (const part of parts) {
        const before = end - slotCount - part.firstSlot;
        const within = before > 0 ? sumFrom(part.values, before) : part;
        sum += within.sum;
        count += within.count;
      }
      return count === 0 ? null : sum / count;
    },
  };
}

function sumFrom(values: Float64Array, from: number): { readonly sum: number; readonly count: number } {
  let sum = 0;
  let count = 0;
  for (let index = from; index < values.length; index += 1) {
    const value = values[index] ?? Number.NaN;
    if (Number.isNaN(value)) continue;
    sum += value;
    count += 1;
  }
  return { sum, count };
}
