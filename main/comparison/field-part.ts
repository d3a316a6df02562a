import type { RequestParams, RequestResult } from '../../shared-lib/api-contract.ts';
import { distributionFunctions } from '../../shared-lib/calibration/distribution-functions.ts';
import { toComparedTrial } from '../../shared-lib/comparison/compared-trial.ts';
import type { Contender } from '../../shared-lib/comparison/comparison-model.ts';
import { dayToDayOf } from '../../shared-lib/comparison/day-to-day-of-bench.ts';
import { benchKey, chooseBench, describeBench } from '../../shared-lib/comparison/like-for-like.ts';
import { highestOnsetLevelNm } from '../../shared-lib/comparison/measure-alike.ts';
import { betterOf, releaseCautions, whyNotMeasured } from '../../shared-lib/comparison/measure-words.ts';
import { placeField } from '../../shared-lib/comparison/place-field.ts';
import { whyLeftOut } from '../../shared-lib/comparison/pulled-trial.ts';
import { numberRoundsAcrossSheets } from '../../shared-lib/comparison/rounds-across-sheets.ts';
import { suspectCautions } from '../../shared-lib/comparison/suspect-cautions.ts';
import type { TrialMeasure } from '../../shared-lib/comparison/trial-measure.ts';
import { formatTorqueInBothUnits } from '../../shared-lib/format-quantity.ts';
import type { RequestHandlers } from '../services.ts';
import { createContenderLookup } from '../storage/contender-repository.ts';
import { hasLevel, listScores, scoreOf, type StoredScore } from '../storage/scored-trials.ts';
import { contenderAmong, transducerNames } from './asked-pair.ts';
import type { ComparisonTools } from './comparison-tools.ts';

/** All contenders of a step by one measure, each with the places it could have; stored values of one bench. */
export function createFieldPart({
  database,
  qualityGate,
}: Pick<ComparisonTools, 'database' | 'qualityGate'>): {
  readonly handlers: Pick<RequestHandlers, 'compareField'>;
} {
  const compareField = ({
    step,
    measure,
    sessionIds,
    keys,
  }: RequestParams<'compareField'>): RequestResult<'compareField'> => {
    const gate = qualityGate();
    const lookup = createContenderLookup(database);
    const scores = listScores(database, lookup, { steps: [step] });
    const counting = scores.filter((score) => whyLeftOut(score, gate) === null);
    const asked = counting.filter(
      ({ sessionId, key }) =>
        (sessionIds === null || sessionIds.includes(sessionId)) && (keys === null || keys.includes(key)),
    );
    const nameOf = transducerNames(database);
    const bench = chooseBench(asked, nameOf);
    const isOnBench = (score: StoredScore): boolean => benchKey(score) === bench.key;
    const placedKeys = new Set(asked.filter(isOnBench).map(({ key }) => key));
    // The others of these sessions say what scatter there is.
    const taken = counting.filter(
      (score) => isOnBench(score) && (sessionIds === null || sessionIds.includes(score.sessionId)),
    );
    const rounds = numberRoundsAcrossSheets(taken);
    const found = placeField(
      {
        trials: taken.map((score) => ({
          ...toComparedTrial(score, scoreOf(score, measure), null),
          round: rounds.get(score.trialId) ?? score.round,
        })),
        keys: [...placedKeys],
        better: betterOf(measure),
        dayToDay: dayToDayOf(counting.filter(isOnBench), (score) => scoreOf(score, measure)),
      },
      distributionFunctions,
    );
    const named = (key: string): Contender => contenderAmong(database, lookup, scores, key);
    const why = whyNotMeasured(step, measure);
    const leftOutKeys = [...new Set([...(keys ?? []), ...scores.map(({ key }) => key)])].filter(
      (key) => (keys === null || keys.includes(key)) && !found.places.some((place) => place.key === key),
    );
    return {
      places: found.places.map(({ key, ...place }) => ({ contender: named(key), ...place })),
      scatter: found.scatter,
      cautions: [
        ...(why === null ? [] : [why]),
        ...(bench.example === null
          ? []
          : [`It holds for ${describeBench(bench.example, nameOf(bench.example.bench.transducerId))}.`]),
        ...found.cautions,
        ...releaseCautions(measure),
        ...suspectCautions(asked.filter(isOnBench)),
        ...calibrationCautions(asked.filter(isOnBench)),
        ...onsetCautions(taken),
        ...levelCautions(taken, measure),
        ...leftOutKeys.map((key) => `${named(key).label} has no place: ${whyNoPlace(key)}.`),
      ],
    };

    function whyNoPlace(key: string): string {
      const own = scores.filter((score) => score.key === key);
      const ofSessions = own.filter(({ sessionId }) => sessionIds === null || sessionIds.includes(sessionId));
      if (ofSessions.length === 0) return 'it has no trial of this step here';
      const reasons = new Set(
        ofSessions.map(
          (score) =>
            whyLeftOut(score, gate) ??
            bench.leftOut.get(score.trialId) ??
            'its trials have no value of this measure',
        ),
      );
      return [...reasons].join('; ');
    }
  };

  return { handlers: { compareField } };
}

function calibrationCautions(scores: readonly StoredScore[]): string[] {
  const calibrations = new Set(scores.map(({ calibrationId }) => calibrationId));
  return calibrations.size <= 1
    ? []
    : [
        `The trials are read by ${calibrations.size} calibrations. The uncertainty of their scales does not cancel between them and is not in the ranges.`,
      ];
}

function onsetCautions(scores: readonly StoredScore[]): string[] {
  const lowest = scores.reduce((least, { onsetLevelNm }) => Math.min(least, onsetLevelNm), Infinity);
  const highest = highestOnsetLevelNm(scores);
  if (!(highest > lowest)) return [];
  return [
    `Onset was found at different levels, ${formatTorqueInBothUnits(lowest, 1)} to ${formatTorqueInBothUnits(highest, 1)}, and the figures stand as they were measured. A comparison of two measures them anew at one level.`,
  ];
}

function levelCautions(scores: readonly StoredScore[], measure: TrialMeasure): string[] {
  if (measure.figure !== 'timeToLevel') return [];
  const count = scores.filter((score) => !hasLevel(score, measure.levelNm)).length;
  return count === 0
    ? []
    : [
        `Of ${count} of ${scores.length} trials the time to this torque was not asked for when they were measured. A comparison of two measures it.`,
      ];
}
