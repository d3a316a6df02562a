import type { SampleBlock } from '../../shared-lib/signal/sample-block.ts';
import { joinBlocks, trimBlockStart } from '../../shared-lib/signal/trim-block.ts';

export interface SampleHistory {
  add(block: SampleBlock): void;
  /** Blocks of the live segment from a slot on, as far as they are still held. */
  blocksFrom(slot: number): SampleBlock[];
  /** The newest slots as one block, fewer if there are not so many; null without any. */
  newest(slotCount: number): SampleBlock | null;
  lastSlot(): number | null;
}

/** Holds the last few seconds of the live segment: for zero records, the time before a trigger, and a fresh curve. */
export function createSampleHistory(slotsToHold: number): SampleHistory {
  let blocks: SampleBlock[] = [];

  const lastSlot = (): number | null => {
    const last = blocks[blocks.length - 1];
    return last ? last.firstSlot + last.counts.length - 1 : null;
  };

  // From the end, since nearly always it is asked for what has just come.
  const blocksFrom = (slot: number): SampleBlock[] => {
    const before = blocks.findLastIndex((block) => block.firstSlot + block.counts.length <= slot);
    return blocks.slice(before + 1).flatMap((block) => trimBlockStart(block, slot) ?? []);
  };

  return {
    add(block) {
      if (blocks[0] && blocks[0].segment !== block.segment) blocks = [];
      if (block.counts.length === 0) return;
      blocks.push(block);
      const end = block.firstSlot + block.counts.length;
      const expired = blocks.findIndex((held) => held.firstSlot + held.counts.length > end - slotsToHold);
      if (expired > 0) blocks.splice(0, expired);
    },
    blocksFrom,
    newest(slotCount) {
      const end = lastSlot();
      return end === null ? null : joinBlocks(blocksFrom(end + 1 - slotCount));
    },
    lastSlot,
  };
}
