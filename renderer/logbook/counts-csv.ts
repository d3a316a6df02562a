import type { RequestResult } from '../../shared-lib/api-contract.ts';

/**
 * The raw counts of a trial as CSV. A lost sample has no row; the index keeps its place, so the times of all others stay
 * right: time after the first sample = slot_index / sample rate.
 */
export function countsCsv({
  counts,
  gaps,
}: Pick<RequestResult<'getTrialCounts'>, 'counts' | 'gaps'>): string {
  const lost = lostSlots(gaps);
  const lines = ['slot_index,raw_counts'];
  counts.forEach((count, index) => {
    if (!lost.has(index)) lines.push(`${index},${count}`);
  });
  return `${lines.join('\r\n')}\r\n`;
}

/** From pairs of offset and length. */
function lostSlots(gaps: Int32Array): Set<number> {
  const lost = new Set<number>();
  for (let pair = 0; pair + 1 < gaps.length; pair += 2) {
    const offset = gaps[pair] ?? 0;
    const length = gaps[pair + 1] ?? 0;
    for (let slot = offset; slot < offset + length; slot += 1) lost.add(slot);
  }
  return lost;
}
