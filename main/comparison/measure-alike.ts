import { formatTorqueInBothUnits } from '../../shared-lib/format-quantity.ts';
import type { TrialMeasure } from '../../shared-lib/comparison/trial-measure.ts';
import { hasLevel, scoreOf, type StoredScore } from '../storage/scored-trials.ts';
import { highestOnsetLevelNm, isMeasuredAt, type MeasuringAnew, valuesAt } from './measured-values.ts';

export interface MeasuredAlike {
  /** In the order of the measures; undefined: the trial was not asked for. */
  valuesOf(trialId: string): readonly (number | null)[] | undefined;
  /** Trials whose value is not known now, with the reason. */
  readonly unknown: ReadonlyMap<string, string>;
  readonly cautions: readonly string[];
}

/**
 * Measures of trials that are compared, all at the highest onset level among them: where that differs they are measured anew
 * from their raw counts. While a trial is under way nothing is, and stored values stand as they are, which is said.
 */
export async function measureAlike(
  anew: MeasuringAnew,
  scores: readonly StoredScore[],
  measures: readonly TrialMeasure[],
): Promise<MeasuredAlike> {
  const onsetLevelNm = highestOnsetLevelNm(scores);
  const others = scores.filter((score) => score.onsetLevelNm !== onsetLevelNm);
  const needsMeasuring = scores.some((score) =>
    measures.some((measure) => !isMeasuredAt(score, measure, onsetLevelNm)),
  );
  if (!needsMeasuring || anew.isPossible()) {
    const values = await valuesAt(anew, scores, measures, onsetLevelNm);
    return {
      valuesOf: (trialId) => values.get(trialId),
      unknown: new Map(),
      cautions:
        others.length === 0
          ? []
          : [
              `Onset was found at different levels; all trials were measured anew at the highest of them, ${formatTorqueInBothUnits(onsetLevelNm, 1)}.`,
            ],
    };
  }
  const stored = new Map(
    scores.map((score) => [score.trialId, measures.map((measure) => scoreOf(score, measure))]),
  );
  return {
    valuesOf: (trialId) => stored.get(trialId),
    unknown: new Map(
      scores
        .filter((score) =>
          measures.some((measure) => measure.figure === 'timeToLevel' && !hasLevel(score, measure.levelNm)),
        )
        .map(({ trialId }) => [
          trialId,
          'its time to this torque is measured once the trial under way has ended',
        ]),
    ),
    cautions:
      others.length === 0
        ? []
        : [
            'Onset was found at different levels, and a trial is under way: the figures stand as they were measured, each at its own level. Ask again when it has ended.',
          ],
  };
}
