import type { ComparedTrial } from '../../shared-lib/comparison/comparison-model.ts';
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
