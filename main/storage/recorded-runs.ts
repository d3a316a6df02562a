import type { ArrivalMark } from '../../shared-lib/signal/fit-sample-clock.ts';
import type { SlotRange } from '../../shared-lib/signal/sample-block.ts';
import type { RecordedRun } from './block-codec.ts';

/**
 * Joins runs of one record, in order of their slots, into one that begins at `firstSlot`. A slot that no run covers was
 * lost and becomes part of a gap; neighbouring gaps become one.
 */
export function joinRuns(runs: readonly RecordedRun[], firstSlot: number): RecordedRun {
  const last = runs.at(-1);
  const counts = new Int32Array(last ? last.firstSlot + last.counts.length - firstSlot : 0);
  const gaps: SlotRange[] = [];
  const marks: ArrivalMark[] = [];
  let end = 0;
  for (const run of runs) {
    const offset = run.firstSlot - firstSlot;
    if (offset < end) throw new RangeError(`The run at slot ${run.firstSlot} overlaps the one before it`);
    addGap(gaps, end, offset - end);
    counts.set(run.counts, offset);
    for (const gap of run.gaps) addGap(gaps, offset + gap.offset, gap.length);
    for (const mark of run.marks) marks.push(mark);
    end = offset + run.counts.length;
  }
  return { firstSlot, counts, gaps, marks };
}

function addGap(gaps: SlotRange[], offset: number, length: number): void {
  if (length === 0) return;
  const last = gaps.at(-1);
  if (last && last.offset + last.length === offset) {
    gaps[gaps.length - 1] = { offset: last.offset, length: last.length + length };
  } else {
    gaps.push({ offset, length });
  }
}
