import type { OpenFailure } from '../../../shared-lib/calibration/daily-check-model.ts';
import type { TrialSummary } from '../../../shared-lib/trial/trial-model.ts';

/** The trials under the mark of each failed check, the newest check first; the trials stay in their order. */
export function suspectsByCheck(trials: readonly Pick<TrialSummary, 'id' | 'suspicion'>[]): OpenFailure[] {
  const failures = new Map<number, OpenFailure>();
  for (const { id, suspicion } of trials) {
    if (suspicion === null) continue;
    const { checkId, failedAt } = suspicion;
    const failure = failures.get(checkId) ?? { checkId, failedAt, trialIds: [] };
    failure.trialIds.push(id);
    failures.set(checkId, failure);
  }
  return [...failures.values()].sort((one, other) => other.checkId - one.checkId);
}
