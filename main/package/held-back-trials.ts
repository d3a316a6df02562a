import type { ReadableDatabase } from '../storage/database.ts';

/**
 * Trials of a package on which, by the package, a failed daily check casts doubt that nobody has lifted, where that check or the decision
 * to leave them out is not taken in: suspicion follows from checks, so they would come in as good ones. `isLeftOut`: of a check, by its
 * number in the package.
 */
export function heldBackTrials(
  staging: ReadableDatabase,
  isLeftOut: (checkId: number) => boolean,
): ReadonlySet<string> {
  const checkIds = staging.prepare<[], number>('SELECT id FROM daily_check').pluck().all();
  if (!checkIds.some(isLeftOut)) return new Set();
  const suspects = staging
    .prepare<[], { trialId: string; markId: number; excludedUnderId: number | null }>(
      `SELECT mark.trial_id AS trialId, mark.check_id AS markId,
         CASE mark.decision WHEN 'excluded' THEN newest.check_id END AS excludedUnderId
       FROM suspect_trial AS mark LEFT JOIN suspicion_decision AS newest
         ON newest.id = (SELECT max(id) FROM suspicion_decision WHERE trial_id = mark.trial_id)
       WHERE mark.decision IS NOT 'usable'`,
    )
    .all()
    .filter(
      ({ markId, excludedUnderId }) =>
        isLeftOut(markId) || (excludedUnderId !== null && isLeftOut(excludedUnderId)),
    );
  return new Set(suspects.map(({ trialId }) => trialId));
}
