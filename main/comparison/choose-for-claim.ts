import type { Claim } from '../../shared-lib/catalogue/catalogue-model.ts';
import { ownScores } from '../../shared-lib/comparison/compared-trial.ts';
import { benchKey, compareText, newestOf } from '../../shared-lib/comparison/like-for-like.ts';
import type { Direction, Kind } from '../../shared-lib/trial/step-model.ts';
import type { StoredScore } from '../storage/scored-trials.ts';

/** By which trials a claim can be borne out: what a tool tightens to is another torque than what it breaks loose. */
export function kindOfClaim(kind: Claim['kind']): Kind {
  return kind === 'fastening' ? 'tighten' : 'breakaway';
}

function usualDirection(kind: Claim['kind']): Direction {
  return kind === 'fastening' ? 'forward' : 'reverse';
}

/**
 * Of the counting trials of a tool those that a claim is checked with, in the order in which they were pulled: of its kind, real
 * before simulated, in the direction that is meant where there are such; of the newest session the longest pulls, of the setup
 * that has the most of them, on one bench under one calibration. A breakaway at any preload.
 */
export function chooseForClaim(scores: readonly StoredScore[], kind: Claim['kind']): StoredScore[] {
  const ofKind = scores.filter(({ step }) => step.kind === kindOfClaim(kind));
  const ofWorld = preferred(ofKind, ({ isSimulated }) => !isSimulated);
  const directed = preferred(ofWorld, ({ step }) => step.direction === usualDirection(kind));
  const newest = newestOf(directed);
  const ofSession = directed.filter(({ sessionId }) => sessionId === newest?.sessionId);
  const longestS = ofSession.reduce((longest, { step }) => Math.max(longest, step.plannedS), 0);
  const groups = [
    ...Map.groupBy(
      ofSession.filter(({ step }) => step.plannedS === longestS),
      (score) =>
        JSON.stringify([
          score.key,
          score.step.direction,
          score.calibrationId,
          benchKey({ ...score, preloadNm: null }),
        ]),
    ).values(),
  ].map(ownScores);
  const [most] = groups.toSorted(
    (one, other) =>
      other.length - one.length ||
      compareText(newestOf(other)?.startedAt ?? '', newestOf(one)?.startedAt ?? ''),
  );
  return (most ?? []).toSorted((one, other) => compareText(one.startedAt, other.startedAt));
}

/** Those that have it, where any has. */
function preferred(
  scores: readonly StoredScore[],
  has: (score: StoredScore) => boolean,
): readonly StoredScore[] {
  const those = scores.filter(has);
  return those.length > 0 ? those : scores;
}
