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
  const waitingCount = waitingTrials({ outdatedCount, failedCount });
  if (waitingCount === 0) return failed === '' ? null : failed;
  const waiting = waitingCount === 1 ? '1 trial is' : `${formatNumber(waitingCount, 0)} trials are`;
  return [
    `${waiting} being measured anew by definitions ${definitionVersion} and ${waitingCount === 1 ? 'shows its' : 'show their'} earlier figures until then; those stay in the trail.`,
    failed,
  ]
    .join(' ')
    .trim();
}

/** Those that could not be measured anew follow the older definition too, and wait for nothing. */
export function waitingTrials({
  outdatedCount,
  failedCount,
}: Pick<RequestResult<'getRecomputation'>, 'outdatedCount' | 'failedCount'>): number {
  return Math.max(0, outdatedCount - failedCount);
}

function trialsWords(count: number): string {
  return count === 1 ? '1 trial' : `${formatNumber(count, 0)} trials`;
}
