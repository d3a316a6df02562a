import type { MeasureReader } from '../../shared-lib/comparison/measure-alike.ts';
import type { TrialFigures } from '../../shared-lib/trial/trial-model.ts';
import { hasLevel, scoreOf, type StoredScore } from '../storage/scored-trials.ts';
import type { ComparisonTools } from './comparison-tools.ts';

/** Of so many trials the figures measured anew are held; an older one is measured once more when it is asked for. */
const MOST_HELD = 4000;

/** Values as they are stored, and figures measured anew from the raw counts. Errors of `figuresOf`: as the writer has them. */
export type MeasuringAnew = MeasureReader<StoredScore>;

/** Figures under other assumptions than a trial was measured by, of each trial once; stored nowhere. */
export function createMeasuringAnew({
  writer,
  isTrialUnderWay,
}: Pick<ComparisonTools, 'writer' | 'isTrialUnderWay'>): MeasuringAnew {
  // Promises, so that two windows that ask at once are answered by one measurement.
  const held = new Map<string, Promise<TrialFigures>>();
  return {
    storedValue: scoreOf,
    hasLevel,
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
