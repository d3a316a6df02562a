import { AppError } from '../../shared-lib/app-error.ts';
import { type Choice, chooseTrials } from '../../shared-lib/comparison/choose-trials.ts';
import type { Contender } from '../../shared-lib/comparison/comparison-model.ts';
import type { ComparedPair } from '../../shared-lib/comparison/comparison-requests.ts';
import type { ContenderLookup } from '../../shared-lib/comparison/contender-lookup.ts';
import { newestOf, type TransducerNames } from '../../shared-lib/comparison/like-for-like.ts';
import type { QualityGate } from '../../shared-lib/run-sheet/session-model.ts';
import { createContenderLookup, listContenders } from '../storage/contender-repository.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { listScores, type StoredScore, toolNameAsWritten } from '../storage/scored-trials.ts';
import { listTransducers } from '../storage/transducer-repository.ts';

export interface ReadPair {
  readonly a: Contender;
  readonly b: Contender;
  /** All measured trials of the step. */
  readonly scores: readonly StoredScore[];
  readonly choice: Choice<StoredScore>;
  readonly contenderOf: (key: string) => Contender;
}

/** Two contenders, and by which trials they are compared. Errors: AppError 'contender-not-found'. */
export function readPair(
  database: ReadableDatabase,
  { step, a, b, sessionIds, isForced }: ComparedPair,
  gate: QualityGate,
): ReadPair {
  const lookup = createContenderLookup(database);
  const scores = listScores(database, lookup, { steps: [step] });
  const named = (key: string): Contender => contenderAmong(database, lookup, scores, key);
  const [sideA, sideB] = toldApart(named(a), named(b));
  const choice = chooseTrials(
    scores,
    { step, a: sideA, b: sideB, sessionIds, isForced },
    gate,
    transducerNames(database),
  );
  const taken = 'chosen' in choice ? choice.chosen : null;
  return {
    a: { ...sideA, isSimulated: taken?.a[0]?.isSimulated ?? sideA.isSimulated },
    b: { ...sideB, isSimulated: taken?.b[0]?.isSimulated ?? sideB.isSimulated },
    scores,
    choice,
    contenderOf: named,
  };
}

/** Named by its newest trial of the step; without one, by the newest of all its trials. */
export function contenderAmong(
  database: ReadableDatabase,
  lookup: ContenderLookup,
  scores: readonly StoredScore[],
  key: string,
): Contender {
  const own = scores.filter((score) => score.key === key);
  const newest = newestOf(own);
  if (newest !== null) {
    return lookup.contenderOf(
      key,
      toolNameAsWritten(database, newest.trialId),
      own.every(({ isSimulated }) => isSimulated),
    );
  }
  const known = listContenders(database).contenders.find((contender) => contender.key === key);
  if (known === undefined) {
    throw new AppError(
      'contender-not-found',
      'Nobody is known here by this setup or name: it has no measured trials, or was named otherwise since. Nothing was changed. Choose from the list of those who were pulled.',
      { key },
    );
  }
  return lookup.contenderOf(key, known.toolName, known.isSimulated);
}

export function transducerNames(database: ReadableDatabase): TransducerNames {
  const names = new Map(listTransducers(database).map(({ id, name }) => [id, name]));
  return (transducerId) => names.get(transducerId) ?? 'a transducer that is gone';
}

/** Two setups may read alike, such as one that was put away and its successor. */
function toldApart(a: Contender, b: Contender): [Contender, Contender] {
  if (a.label !== b.label || a.key === b.key) return [a, b];
  return [
    { ...a, label: `${a.label} (A)` },
    { ...b, label: `${b.label} (B)` },
  ];
}
