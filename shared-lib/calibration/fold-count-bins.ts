import type { SampleBlock } from '../signal/sample-block.ts';

/** The mean of so many slots in a row, and how their samples scatter from one to the next. */
export interface CountBin {
  readonly meanCounts: number;
  /** Standard deviation of a single sample, from the differences of neighbours. */
  readonly noiseCounts: number;
  readonly sampleCount: number;
}

export interface CountBinFolder {
  /** The means that this block completes; `broken` where what follows is not joined to what came before. */
  push(block: SampleBlock): (CountBin | 'broken')[];
}

/** A mean of fewer of its slots says too little: the stretch counts as broken (ours). */
const LEAST_PRESENT_SHARE = 0.5;

/** Folds samples into means of equally many slots. A lost sample keeps its slot. */
export function createCountBinFolder(slotsPerBin: number): CountBinFolder {
  let segment: number | null = null;
  let nextSlot = 0;
  let slotsSeen = 0;
  let sampleCount = 0;
  let sum = 0;
  let squaredSteps = 0;
  let stepCount = 0;
  let previous: number | null = null;

  const clear = (): void => {
    slotsSeen = 0;
    sampleCount = 0;
    sum = 0;
    squaredSteps = 0;
    stepCount = 0;
  };

  const addSample = (counts: number): void => {
    sum += counts;
    sampleCount += 1;
    if (previous !== null) {
      squaredSteps += (counts - previous) ** 2;
      stepCount += 1;
    }
    previous = counts;
  };

  const complete = (): CountBin | 'broken' => {
    // The difference of two samples has twice the variance of one.
    const noiseCounts = stepCount === 0 ? 0 : Math.sqrt(squaredSteps / (2 * stepCount));
    const bin = { meanCounts: sum / sampleCount, noiseCounts, sampleCount };
    const isWhole = sampleCount >= LEAST_PRESENT_SHARE * slotsPerBin;
    clear();
    return isWhole ? bin : 'broken';
  };

  return {
    push({ segment: ofBlock, firstSlot, counts, gaps }) {
      const bins: (CountBin | 'broken')[] = [];
      const missingSlots = firstSlot - nextSlot;
      if (segment !== null && (segment !== ofBlock || missingSlots !== 0)) {
        previous = null;
        if (segment === ofBlock && missingSlots > 0 && slotsSeen + missingSlots < slotsPerBin) {
          slotsSeen += missingSlots;
        } else {
          clear();
          bins.push('broken');
        }
      }
      segment = ofBlock;
      nextSlot = firstSlot + counts.length;
      let gapAt = 0;
      for (let offset = 0; offset < counts.length; offset += 1) {
        let gap = gaps[gapAt];
        while (gap !== undefined && gap.offset + gap.length <= offset) {
          gapAt += 1;
          gap = gaps[gapAt];
        }
        if (gap !== undefined && gap.offset <= offset) previous = null;
        else addSample(counts[offset] ?? 0);
        slotsSeen += 1;
        if (slotsSeen === slotsPerBin) bins.push(complete());
      }
      return bins;
    },
  };
}
