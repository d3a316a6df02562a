import { distributionFunctions } from '../../shared-lib/calibration/distribution-functions.ts';
import type { Comparison } from '../../shared-lib/comparison/comparison-model.ts';
import { referenceDrift } from '../../shared-lib/run-sheet/drift-over-time.ts';
import type { QualityGate } from '../../shared-lib/run-sheet/session-model.ts';
import { createContenderLookup } from '../storage/contender-repository.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { listScores, scoreOf, whyLeftOut } from '../storage/scored-trials.ts';
import { benchKey } from './like-for-like.ts';

/**
 * How the reference tool drifted in each session, by the sustained torque of its pulls that count: those of one setup, step and
 * bench; where there are several, the ones with the most pulls.
 */
export function referenceDrifts(
  database: ReadableDatabase,
  sessionIds: readonly string[],
  gate: QualityGate,
): Comparison['referenceDrift'] {
  const pulls = listScores(database, createContenderLookup(database), { sessionIds, role: 'reference' });
  const counting = pulls.flatMap((score) => {
    const sustainedTorqueNm = scoreOf(score, { figure: 'sustainedTorque' });
    if (whyLeftOut(score, gate) !== null || sustainedTorqueNm === null) return [];
    const { kind, direction, plannedS } = score.step;
    return {
      sessionId: score.sessionId,
      group: JSON.stringify([score.key, kind, direction, plannedS, benchKey(score)]),
      hours: Date.parse(score.startedAt) / 3_600_000,
      sustainedTorqueNm,
    };
  });
  const bySession = Map.groupBy(counting, ({ sessionId }) => sessionId);
  return sessionIds.flatMap((sessionId) => {
    const groups = Map.groupBy(bySession.get(sessionId) ?? [], ({ group }) => group);
    const [largest] = [...groups.values()].toSorted((one, other) => other.length - one.length);
    const firstHours = largest?.[0]?.hours ?? 0;
    const drift =
      largest === undefined
        ? null
        : referenceDrift(
            largest.map(({ hours, sustainedTorqueNm }) => ({ hours: hours - firstHours, sustainedTorqueNm })),
            distributionFunctions,
          );
    return drift === null ? [] : [{ sessionId, drift }];
  });
}
