import { distributionFunctions } from '../calibration/distribution-functions.ts';
import { referenceDrift } from '../run-sheet/drift-over-time.ts';
import type { QualityGate } from '../run-sheet/session-model.ts';
import type { Comparison } from './comparison-model.ts';
import { benchKey } from './like-for-like.ts';
import { type PulledTrial, whyLeftOut } from './pulled-trial.ts';

/**
 * How the reference tool drifted in each session, by the sustained torque of its pulls that count: those of one setup, step and
 * bench; where there are several, the ones with the most pulls.
 *
 * `pulls`: of the reference tool, of any step, in the order in which they were pulled.
 */
export function referenceDriftsOf<Trial extends PulledTrial>(
  pulls: readonly Trial[],
  sessionIds: readonly string[],
  gate: QualityGate,
  read: {
    readonly sustainedTorqueNm: (trial: Trial) => number | null;
    /** Milliseconds since 1970 of an instant. */
    readonly millisecondsOf: (instant: string) => number;
  },
): Comparison['referenceDrift'] {
  const counting = pulls.flatMap((trial) => {
    const sustainedTorqueNm = read.sustainedTorqueNm(trial);
    if (whyLeftOut(trial, gate) !== null || sustainedTorqueNm === null) return [];
    const { kind, direction, plannedS } = trial.step;
    return {
      sessionId: trial.sessionId,
      group: JSON.stringify([trial.key, kind, direction, plannedS, benchKey(trial)]),
      hours: read.millisecondsOf(trial.startedAt) / 3_600_000,
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
