import type { SampleBlock } from '../../shared-lib/signal/sample-block.ts';

export interface StuckWatch {
  restart(): void;
  receive(block: SampleBlock): void;
  /** The decoder has found the same count again and again, last in the slot before `slot`. */
  found(slot: number | null): void;
  isStuck(): boolean;
}

/** The decoder tells once that the count is stuck; this tells whether it still is. */
export function createStuckWatch(): StuckWatch {
  let newest: SampleBlock | null = null;
  let stuckCounts: number | null = null;
  return {
    restart() {
      newest = null;
      stuckCounts = null;
    },
    receive(block) {
      newest = block;
      if (stuckCounts !== null && hasOtherCounts(block, 0, stuckCounts)) stuckCounts = null;
    },
    found(slot) {
      if (!newest || slot === null) return;
      const next = slot - newest.firstSlot;
      const counts = newest.counts[next - 1];
      // It may have moved again within the same report.
      if (counts === undefined || !hasOtherCounts(newest, next, counts)) stuckCounts = counts ?? null;
    },
    isStuck: () => stuckCounts !== null,
  };
}

function hasOtherCounts({ counts, gaps }: SampleBlock, from: number, stuckCounts: number): boolean {
  for (let index = from; index < counts.length; index += 1) {
    if (counts[index] === stuckCounts) continue;
    // A gap's slots hold 0 and are not samples.
    if (!gaps.some(({ offset, length }) => index >= offset && index < offset + length)) return true;
  }
  return false;
}
