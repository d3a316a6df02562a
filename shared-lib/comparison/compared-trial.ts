import type { ComparedTrial } from './comparison-model.ts';
import { ownTrials } from './observations.ts';
import type { PulledTrial } from './pulled-trial.ts';

/** `value` of one that was never kept is not shown: what picks results by their figures must not see them before. */
export function toComparedTrial(
  score: PulledTrial,
  value: number | null,
  leftOutBecause: string | null,
): ComparedTrial {
  return {
    trialId: score.trialId,
    contenderKey: score.key,
    sessionId: score.sessionId,
    startedAt: score.startedAt,
    round: score.round,
    isReference: score.role === 'reference',
    value: score.state === 'kept' ? value : null,
    leftOutBecause,
  };
}

/** Of a reference tool that was pulled as a setup too, only the pulls as a setup. */
export function ownScores<Trial extends PulledTrial>(scores: readonly Trial[]): Trial[] {
  const own = new Set(
    ownTrials(scores.map((score) => toComparedTrial(score, null, null))).map(({ trialId }) => trialId),
  );
  return scores.filter(({ trialId }) => own.has(trialId));
}
