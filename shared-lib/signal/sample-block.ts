/**
 * A run of samples on the sample clock. A slot is one sample period; a lost sample keeps its slot.
 *
 * `counts[i]` belongs to slot `firstSlot + i`. Slots named by a gap hold 0 and are not samples.
 * `arrivalUs` is the host's monotonic time when the block's last line had been read.
 * A new `segment` starts wherever the number of slots in between cannot be known (reconnection, device reset, a gap of
 * a modulus or more); slots of different segments cannot be compared.
 */
export interface SampleBlock {
  readonly segment: number;
  readonly firstSlot: number;
  readonly counts: Int32Array;
  readonly gaps: readonly SlotRange[];
  readonly arrivalUs: number;
}

/** `offset` counts from the block's first slot. */
export interface SlotRange {
  readonly offset: number;
  readonly length: number;
}

export function countLostSlots(gaps: readonly SlotRange[]): number {
  return gaps.reduce((sum, gap) => sum + gap.length, 0);
}

/** The slots of a block that hold a sample. */
export function countSamples({ counts, gaps }: Pick<SampleBlock, 'counts' | 'gaps'>): number {
  return counts.length - countLostSlots(gaps);
}
