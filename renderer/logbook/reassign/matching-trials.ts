import type { Connection } from '../../../shared-lib/api-contract.ts';
import { readingCalibrationId } from '../../../shared-lib/trial/assignment.ts';
import type { TrialSummary } from '../../../shared-lib/trial/trial-model.ts';
import type { TrialQuery } from '../trial-pages.ts';

const PAGE_LENGTH = 500;
/** The most that can be decided about at once. */
export const MOST_TRIALS = 5000;
/** Each is asked for by itself, so a look at more would take long. */
const LOOKED_AT = 200;

/** All trials that a filter of the list finds, newest first, at most MOST_TRIALS of them. */
export async function fetchMatching(
  connection: Pick<Connection, 'request'>,
  query: TrialQuery,
): Promise<TrialSummary[]> {
  const found: TrialSummary[] = [];
  for (;;) {
    const limit = Math.min(PAGE_LENGTH, MOST_TRIALS - found.length);
    if (limit === 0) return found;
    const { trials, total } = await connection.request('listTrials', {
      ...query,
      offset: found.length,
      limit,
    });
    found.push(...trials);
    if (trials.length === 0 || found.length >= total) return found;
  }
}

export interface VersionsInUse {
  /** How many of the trials that were looked at are computed with each version, the most first. */
  readonly counts: readonly { readonly calibrationId: string; readonly count: number }[];
  readonly lookedAt: number;
}

/** Which versions some trials are computed with; of many only the newest are looked at. */
export async function findVersionsInUse(
  connection: Pick<Connection, 'request'>,
  trialIds: readonly string[],
): Promise<VersionsInUse> {
  const counts = new Map<string, number>();
  const looked = trialIds.slice(0, LOOKED_AT);
  for (const trialId of looked) {
    const calibrationId = readingCalibrationId(await connection.request('getTrial', { trialId }));
    counts.set(calibrationId, (counts.get(calibrationId) ?? 0) + 1);
  }
  return {
    lookedAt: looked.length,
    counts: [...counts]
      .map(([calibrationId, count]) => ({ calibrationId, count }))
      .sort((a, b) => b.count - a.count),
  };
}
