import type { RequestParams, RequestResult } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { distributionFunctions } from '../../shared-lib/calibration/distribution-functions.ts';
import type { ChosenTrials } from '../../shared-lib/comparison/choose-trials.ts';
import { ownScores } from '../../shared-lib/comparison/compared-trial.ts';
import { highestOnsetLevelNm } from '../../shared-lib/comparison/measure-alike.ts';
import { describeComparedStep } from '../../shared-lib/comparison/measure-words.ts';
import { compareReachTimes } from '../../shared-lib/comparison/reach.ts';
import { formatTorqueInBothUnits } from '../../shared-lib/format-quantity.ts';
import type { RequestHandlers } from '../services.ts';
import { scoreOf, type StoredScore } from '../storage/scored-trials.ts';
import { readPair } from './asked-pair.ts';
import type { ComparisonTools } from './comparison-tools.ts';
import type { MeasuringAnew } from './measured-values.ts';
import { levelsBetween } from './reach-levels.ts';

/** Who reaches a torque first, from the raw curves of the runs that two contenders are compared by. */
export function createReachPart(
  { database, qualityGate }: Pick<ComparisonTools, 'database' | 'qualityGate'>,
  anew: MeasuringAnew,
): { readonly handlers: Pick<RequestHandlers, 'compareReach'> } {
  const timesOf = async (
    scores: readonly StoredScore[],
    at: { readonly onsetLevelNm: number; readonly levelsNm: readonly number[] },
  ): Promise<(number | null)[][]> => {
    const times: (number | null)[][] = [];
    for (const score of scores) {
      refuseBesideATrial(anew);
      const { timeToLevel } = await anew.figuresOf(score, at);
      const timeAt = new Map(timeToLevel.map(({ levelNm, timeS }) => [levelNm, timeS]));
      times.push(at.levelsNm.map((levelNm) => timeAt.get(levelNm) ?? null));
    }
    return times;
  };

  const compareReach = async (
    asked: RequestParams<'compareReach'>,
  ): Promise<RequestResult<'compareReach'>> => {
    refuseBesideATrial(anew);
    const refused = (...reasons: string[]): RequestResult<'compareReach'> => ({
      result: null,
      notComparable: { reasons },
    });
    const pair = readPair(database, asked, qualityGate());
    if (asked.step.kind === 'breakaway') {
      return refused('A breakaway releases a torque and builds none, so there is no time to a torque.');
    }
    if ('reasons' in pair.choice) return refused(...pair.choice.reasons);
    const { chosen } = pair.choice;
    const [ofA, ofB] = [ownScores(chosen.a), ownScores(chosen.b)];
    const [highestA, highestB] = [highestReachedNm(ofA), highestReachedNm(ofB)];
    if (highestA === null || highestB === null) {
      const without = highestA === null ? pair.a.label : pair.b.label;
      return refused(`No run of ${without} by ${describeComparedStep(asked.step)} held a torque.`);
    }
    const onsetLevelNm = highestOnsetLevelNm([...ofA, ...ofB]);
    const levelsNm = levelsBetween(onsetLevelNm, Math.min(highestA, highestB));
    if (levelsNm.length === 0) {
      return refused(
        `There is no torque between the onset level of ${formatTorqueInBothUnits(onsetLevelNm, 1)} and the highest that both reached, ${formatTorqueInBothUnits(Math.min(highestA, highestB), 1)}.`,
      );
    }
    const at = { onsetLevelNm, levelsNm };
    const found = compareReachTimes(
      {
        levelsNm,
        a: { timesS: await timesOf(ofA, at) },
        b: { timesS: await timesOf(ofB, at) },
        words: {
          a: pair.a.label,
          b: pair.b.label,
          format: (levelNm) => formatTorqueInBothUnits(levelNm, levelNm < 10 ? 1 : 0),
        },
      },
      distributionFunctions,
    );
    return {
      notComparable: null,
      result: { ...found, sentences: [...found.sentences, ...whatIsNotAlike(chosen)] },
    };
  };

  return { handlers: { compareReach } };
}

function refuseBesideATrial(anew: MeasuringAnew): void {
  if (anew.isPossible()) return;
  throw new AppError(
    'invalid-state',
    'A trial is under way, and nothing competes with recording it. Nothing was computed; ask again when it has ended.',
  );
}

/** What the best run held for a quarter of a second; a time to a level takes a shorter hold, so it was reached. */
function highestReachedNm(scores: readonly StoredScore[]): number | null {
  const held = scores.flatMap((score) => scoreOf(score, { figure: 'sustainedTorque' }) ?? []);
  return held.length === 0 ? null : Math.max(...held);
}

function whatIsNotAlike({ a, b, isLikeForLike }: ChosenTrials<StoredScore>): string[] {
  const sessions = new Set([...a, ...b].map(({ sessionId }) => sessionId));
  return [
    ...(isLikeForLike ? [] : ['Not like for like: the benches of the two differ, and so may their times.']),
    ...(sessions.size === 1
      ? []
      : [
          'The runs are of several sessions: what changes from day to day is not in these answers beyond the runs’ own scatter.',
        ]),
  ];
}
