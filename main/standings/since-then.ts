import { parseTrialMeasureKey } from '../../shared-lib/standings/measure-keys.ts';
import type { Edition, ScoredTrial } from '../../shared-lib/standings/standings-model.ts';
import { createContenderLookup } from '../storage/contender-repository.ts';
import { type ReadableDatabase, reading } from '../storage/database.ts';
import { listScores, type StoredScore } from '../storage/scored-trials.ts';

/** What became of a trial after it was frozen; the first that applies is told. */
const changes: readonly {
  readonly happened: string;
  readonly is: (then: ScoredTrial, now: StoredScore, frozenAt: string) => boolean;
}[] = [
  {
    happened: 'Voided since',
    is: (then, now) => counted(then) && now.isVoided,
  },
  {
    happened: 'Left out after a failed daily check since',
    is: (then, now) => counted(then) && now.suspicion?.decision === 'excluded',
  },
  {
    happened: 'Marked suspect by a failed daily check since',
    is: (then, { suspicion }, frozenAt) =>
      counted(then) && suspicion !== null && suspicion.decision === null && suspicion.failedAt > frozenAt,
  },
  {
    happened: 'Read by another calibration since',
    is: (then, now) => now.calibrationId !== then.calibrationId,
  },
  {
    happened: 'Counted to another tool or setup since',
    is: (then, now) => now.key !== then.key,
  },
  {
    happened: 'Measured anew since',
    is: (then, now) => now.evaluationId !== then.evaluationId,
  },
  {
    happened: 'Voided then, and taken back since',
    is: (then, now) => then.leftOutBecause === 'voided' && !now.isVoided,
  },
];

/** Sentences on the trials of an edition, as they are now; its figures stay. Empty: all of them are as they were. */
export function sinceThen(database: ReadableDatabase, { summary, input }: Edition): string[] {
  const steps = input.measures.map((key) => parseTrialMeasureKey(key).step);
  const now = reading(
    () =>
      new Map(
        listScores(database, createContenderLookup(database), {
          steps,
          isSimulated: input.table.isSimulated,
          measures: [],
        }).map((score) => [score.trialId, score]),
      ),
  );
  const labels = new Map(input.subjects.map(({ contender }) => [contender.key, contender.label]));
  return changes.flatMap(({ happened }, place) => {
    const changed = input.trials.filter((then) => {
      const score = now.get(then.trialId);
      return (
        score !== undefined && changes.findIndex(({ is }) => is(then, score, summary.createdAt)) === place
      );
    });
    return changed.length === 0 ? [] : `${happened}: ${inWords(changed, labels)}.`;
  });
}

function counted({ leftOutBecause }: ScoredTrial): boolean {
  return leftOutBecause === null;
}

/** "2 trials of Hollin H5, 1 of Tarnwick T6". */
function inWords(trials: readonly ScoredTrial[], labels: ReadonlyMap<string, string>): string {
  return [...Map.groupBy(trials, ({ key }) => labels.get(key) ?? key)]
    .map(([label, ofOne], index) => {
      const unit = ofOne.length === 1 ? 'trial' : 'trials';
      return `${ofOne.length}${index === 0 ? ` ${unit}` : ''} of ${label}`;
    })
    .join('; ');
}
