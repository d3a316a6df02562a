import type { ComparedTrial } from '../../shared-lib/comparison/comparison-model.ts';
import { ownTrials } from '../../shared-lib/comparison/observations.ts';
import type { StoredScore } from '../storage/scored-trials.ts';

/** `value` of one that was never kept is not shown: what picks results by their figures must not see them before. */
export function toComparedTrial(
  score: StoredScore,
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
export function ownScores(scores: readonly StoredScore[]): StoredScore[] {
  const own = new Set(
    ownTrials(scores.map((score) => toComparedTrial(score, null, null))).map(({ trialId }) => trialId),
  );
  return scores.filter(({ trialId }) => own.has(trialId));
}
