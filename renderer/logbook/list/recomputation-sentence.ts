import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';

/** What the list says while figures are not all of one definition; null: they are. */
export function recomputationSentence({
  definitionVersion,
  outdatedCount,
  failedCount,
}: RequestResult<'getRecomputation'>): string | null {
  const failed =
    failedCount === 0
      ? ''
      : `${trialsWords(failedCount)} could not be measured anew and ${failedCount === 1 ? 'keeps its' : 'keep their'} earlier figures.`;
  if (outdatedCount === 0) return failed === '' ? null : failed;
  const waiting = outdatedCount === 1 ? '1 trial is' : `${formatNumber(outdatedCount, 0)} trials are`;
  return [
    `${waiting} being measured anew by definitions ${definitionVersion} and ${outdatedCount === 1 ? 'shows its' : 'show their'} earlier figures until then; those stay in the trail.`,
    failed,
  ]
    .join(' ')
    .trim();
}

function trialsWords(count: number): string {
  return count === 1 ? '1 trial' : `${formatNumber(count, 0)} trials`;
}
