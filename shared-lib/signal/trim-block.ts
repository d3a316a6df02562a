import type { SampleBlock, SlotRange } from './sample-block.ts';

/** The part of a block from `fromSlot` on (slots of its segment), or null when nothing of it lies there. */
export function trimBlockStart(block: SampleBlock, fromSlot: number): SampleBlock | null {
  const drop = fromSlot - block.firstSlot;
  if (drop <= 0) return block;
  if (drop >= block.counts.length) return null;
  return {
    ...block,
    firstSlot: fromSlot,
    counts: block.counts.slice(drop),
    gaps: shiftGaps(block.gaps, -drop),
  };
}

/** Moves gaps by so many slots and cuts off what comes to lie before 0. */
export function shiftGaps(gaps: readonly SlotRange[], by: number): SlotRange[] {
  const shifted: SlotRange[] = [];
  for (const gap of gaps) {
    const start = Math.max(0, gap.offset + by);
    const end = gap.offset + by + gap.length;
    if (end > start) shifted.push({ offset: start, length: end - start });
  }
  return shifted;
}

/** Blocks of one segment that follow one another, as one; null without any. */
export function joinBlocks(blocks: readonly SampleBlock[]): SampleBlock | null {
  const first = blocks[0];
  const last = blocks[blocks.length - 1];
  if (!first || !last) return null;
  const counts = new Int32Array(last.firstSlot + last.counts.length - first.firstSlot);
  const gaps: SlotRange[] = [];
  for (const block of blocks) {
    const offset = block.firstSlot - first.firstSlot;
    counts.set(block.counts, offset);
    gaps.push(...shiftGaps(block.gaps, offset));
  }
  return { ...first, counts, gaps, arrivalUs: last.arrivalUs };
}

/** The counts that are samples, without the slots of gaps. */
export function presentCounts(block: Pick<SampleBlock, 'counts' | 'gaps'>): Int32Array {
  if (block.gaps.length === 0) return block.counts;
  const isGap = new Uint8Array(block.counts.length);
  for (const gap of block.gaps) isGap.fill(1, gap.offset, gap.offset + gap.length);
  return block.counts.filter((_, index) => isGap[index] === 0);
}
