import type { TrialMeasure } from '../../shared-lib/comparison/trial-measure.ts';
import type { Measure, TrialFigures } from '../../shared-lib/trial/trial-model.ts';
import { hasLevel, scoreOf, type StoredScore } from '../storage/scored-trials.ts';
import type { ComparisonTools } from './comparison-tools.ts';

/** What a trial is measured by: the level of its onset, and the torques whose times are asked for. */
export interface MeasuredAt {
  readonly onsetLevelNm: number;
  readonly levelsNm: readonly number[];
}

/** Of so many trials the figures measured anew are held; an older one is measured once more when it is asked for. */
const MOST_HELD = 4000;

export interface MeasuringAnew {
  /** False while a trial is under way: nothing competes with recording it. */
  isPossible(): boolean;
  /** From the raw counts, held in memory. Errors: as the writer has them. */
  figuresOf(score: StoredScore, at: MeasuredAt): Promise<TrialFigures>;
}

/** Figures under other assumptions than a trial was measured by, of each trial once; stored nowhere. */
export function createMeasuringAnew({
  writer,
  isTrialUnderWay,
}: Pick<ComparisonTools, 'writer' | 'isTrialUnderWay'>): MeasuringAnew {
  // Promises, so that two windows that ask at once are answered by one measurement.
  const held = new Map<string, Promise<TrialFigures>>();
  return {
    isPossible: () => !isTrialUnderWay(),
    figuresOf({ trialId, evaluationId }, { onsetLevelNm, levelsNm }) {
      const key = `${trialId} ${evaluationId} ${onsetLevelNm} ${levelsNm.join(' ')}`;
      const before = held.get(key);
      if (before !== undefined) return before;
      const figures = writer
        .perform<'whatIf'>({ type: 'whatIf', trialId, assumed: { onsetLevelNm, levelsNm } })
        .then((result) => result.figures);
      held.set(key, figures);
      // What failed may work the next time.
      figures.catch(() => held.delete(key));
      if (held.size > MOST_HELD) held.delete(held.keys().next().value ?? '');
      return figures;
    },
  };
}

/** The highest level of onset among trials: at which all of them are compared. */
export function highestOnsetLevelNm(scores: readonly StoredScore[]): number {
  return scores.reduce((highest, { onsetLevelNm }) => Math.max(highest, onsetLevelNm), 0);
}

/** Whether the stored value of a trial is what a comparison at this level takes. */
export function isMeasuredAt(score: StoredScore, measure: TrialMeasure, onsetLevelNm: number): boolean {
  return (
    score.onsetLevelNm === onsetLevelNm &&
    (measure.figure !== 'timeToLevel' || hasLevel(score, measure.levelNm))
  );
}

/** The values of measures at one onset level: stored ones where they were measured by it, else measured anew. */
export async function valuesAt(
  anew: MeasuringAnew,
  scores: readonly StoredScore[],
  measures: readonly TrialMeasure[],
  onsetLevelNm: number,
): Promise<Map<string, (number | null)[]>> {
  const levelsNm = measures.flatMap((measure) => (measure.figure === 'timeToLevel' ? [measure.levelNm] : []));
  const values = new Map<string, (number | null)[]>();
  for (const score of scores) {
    if (measures.every((measure) => isMeasuredAt(score, measure, onsetLevelNm))) {
      values.set(
        score.trialId,
        measures.map((measure) => scoreOf(score, measure)),
      );
      continue;
    }
    const figures = await anew.figuresOf(score, { onsetLevelNm, levelsNm });
    values.set(
      score.trialId,
      measures.map((measure) => figureOf(figures, measure)),
    );
  }
  return values;
}

/** The value of a measure among figures, as `scoreOf` has it of stored ones; null: not reached, or not carried. */
export function figureOf(figures: TrialFigures, measure: TrialMeasure): number | null {
  switch (measure.figure) {
    case 'sustainedTorque':
      return valueOf(figures.sustainedTorqueNm);
    case 'finalTorque':
      return valueOf(figures.finalTorqueNm);
    case 'torqueAt':
      return valueOf(figures.torqueAt.find(({ atS }) => atS === measure.atS)?.torqueNm ?? null);
    case 'timeTo90Percent':
      return valueOf(figures.timeTo90PercentS);
    case 'timeToLevel':
      return figures.timeToLevel.find(({ levelNm }) => levelNm === measure.levelNm)?.timeS ?? null;
    case 'stallTorque':
      return valueOf(figures.stallTorqueNm);
    case 'releasedPreload': {
      const { breakaway } = figures;
      return breakaway !== null && 'preloadNm' in breakaway && breakaway.releasedAtS !== null
        ? breakaway.preloadNm
        : null;
    }
    case 'lastTorque':
      return figures.endurance !== null && 'lastNm' in figures.endurance ? figures.endurance.lastNm : null;
  }
}

function valueOf(measure: Measure | null): number | null {
  return measure !== null && 'value' in measure ? measure.value : null;
}
