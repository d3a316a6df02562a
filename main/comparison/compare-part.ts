import type { RequestParams, RequestResult } from '../../shared-lib/api-contract.ts';
import { distributionFunctions } from '../../shared-lib/calibration/distribution-functions.ts';
import { compareTwo, type TwoResult } from '../../shared-lib/comparison/compare-two.ts';
import type { ComparedTrial, Contender, Side } from '../../shared-lib/comparison/comparison-model.ts';
import {
  betterOf,
  describeMeasure,
  formatMeasured,
  formatMeasuredDifference,
  whyNotMeasured,
} from '../../shared-lib/comparison/measure-words.ts';
import type { ComparedStep, TrialMeasure } from '../../shared-lib/comparison/trial-measure.ts';
import type { RequestHandlers } from '../services.ts';
import { marginBefore } from '../storage/margin-repository.ts';
import { plannedRoundsOf, scoreOf, type StoredScore, whyLeftOut } from '../storage/scored-trials.ts';
import { readPair } from './asked-pair.ts';
import { toComparedTrial } from './compared-trial.ts';
import type { ComparisonTools } from './comparison-tools.ts';
import type { ChosenTrials } from './choose-trials.ts';
import { dayToDayOf } from './day-to-day.ts';
import { benchKey, compareText } from './like-for-like.ts';
import type { MeasuringAnew } from './measured-values.ts';
import { measureAlike, type MeasuredAlike } from './measure-alike.ts';
import { referenceDrifts } from './reference-drifts.ts';
import { numberRoundsAcrossSheets } from './rounds-across-sheets.ts';

/** No plan declares an early look yet, so none is paid for. */
const CONFIDENCE = 0.95;
const CHECKPOINTS_S = [1, 2, 3, 5, 10, 15] as const;

/** Two contenders by one measure, with everything that the answer rests on. */
export function createComparePart(
  { database, qualityGate }: Pick<ComparisonTools, 'database' | 'qualityGate'>,
  anew: MeasuringAnew,
): { readonly handlers: Pick<RequestHandlers, 'compare'> } {
  const compare = async ({
    measure,
    ...asked
  }: RequestParams<'compare'>): Promise<RequestResult<'compare'>> => {
    const { step } = asked;
    const gate = qualityGate();
    const pair = readPair(database, asked, gate);
    const why = whyNotMeasured(step, measure);
    if (why !== null) return { result: null, notComparable: { reasons: [why] } };
    if ('reasons' in pair.choice) {
      return { result: null, notComparable: { reasons: pair.choice.reasons } };
    }
    const { chosen } = pair.choice;
    const taken = inOrder([...chosen.a, ...chosen.b, ...chosen.others]);
    const checkpoints = checkpointsOf(step);
    const alike = await measureAlike(anew, taken, [measure, ...checkpoints]);

    const trials = comparedTrials(chosen, taken, measure, alike);
    const rounds = numberRoundsAcrossSheets(taken);
    const planned = plannedRoundsOf(database, sheetsOf(taken));
    const plannedRounds = { a: planOf(chosen.a, planned), b: planOf(chosen.b, planned) };
    const marginPercent = marginBefore(database, measure.figure, chosen.sessionIds);
    const found = compareTwo(
      {
        a: asked.a,
        b: asked.b,
        trials: trials.map((trial) => ({ ...trial, round: rounds.get(trial.trialId) ?? trial.round })),
        better: betterOf(measure),
        marginPercent,
        confidence: CONFIDENCE,
        plannedRounds,
        // Within one session days do not come in, and all trials need not be looked at.
        dayToDay:
          chosen.sessionIds.length === 1
            ? null
            : dayToDayOf(onTheSameBench(pair.scores, chosen, gate), measure),
        isLikeForLike: chosen.isLikeForLike,
        checkpoints: checkpoints.map(({ atS }, index) => ({
          atS,
          trials: taken.map(({ trialId }) => ({
            trialId,
            valueNm: alike.valuesOf(trialId)?.[index + 1] ?? null,
          })),
        })),
        words: {
          a: pair.a.label,
          b: pair.b.label,
          what: describeMeasure(measure),
          format: (value) => formatMeasured(measure, value),
          formatDifference: (value) => formatMeasuredDifference(measure, value),
        },
      },
      distributionFunctions,
    );
    const { a, b, cautions, ...result } = found;
    return {
      notComparable: null,
      result: {
        measure,
        step,
        better: betterOf(measure),
        marginPercent,
        gate,
        a: sideOf(pair.a, a, plannedRounds.a),
        b: sideOf(pair.b, b, plannedRounds.b),
        ...result,
        cautions: [...cautions, ...alike.cautions, ...calibrationCautions(chosen)],
        isLikeForLike: chosen.isLikeForLike,
        referenceDrift: referenceDrifts(database, chosen.sessionIds, gate),
        trials,
        others: othersOf(chosen, pair.contenderOf),
      },
    };
  };

  return { handlers: { compare } };
}

/** Those within the planned time; the torque of a breakaway is not one that the tool builds. */
function checkpointsOf({ kind, plannedS }: ComparedStep): { figure: 'torqueAt'; atS: CheckpointS }[] {
  if (kind === 'breakaway') return [];
  return CHECKPOINTS_S.filter((atS) => atS <= plannedS).map((atS) => ({ figure: 'torqueAt', atS }));
}
type CheckpointS = (typeof CHECKPOINTS_S)[number];

function comparedTrials(
  { leftOut }: ChosenTrials,
  taken: readonly StoredScore[],
  measure: TrialMeasure,
  alike: MeasuredAlike,
): ComparedTrial[] {
  return [
    ...taken.map((score) =>
      toComparedTrial(
        score,
        alike.valuesOf(score.trialId)?.[0] ?? null,
        alike.unknown.get(score.trialId) ?? null,
      ),
    ),
    ...leftOut.map(({ score, because }) => toComparedTrial(score, scoreOf(score, measure), because)),
  ].toSorted((one, other) => compareText(one.startedAt, other.startedAt));
}

function sideOf(contender: Contender, figures: TwoResult['a'], plannedRounds: number | null): Side {
  return { contender, ...figures, plannedRounds };
}

/** What the plans behind a side's trials fixed beforehand, all together; null: nothing did. */
function planOf(scores: readonly StoredScore[], planned: ReadonlyMap<string, number>): number | null {
  const sheets = sheetsOf(scores);
  return sheets.length === 0 ? null : sheets.reduce((sum, sheet) => sum + (planned.get(sheet) ?? 0), 0);
}

function sheetsOf(scores: readonly StoredScore[]): string[] {
  return [...new Set(scores.flatMap(({ runSheetId }) => runSheetId ?? []))];
}

/** Of all sessions, whoever was pulled: from these it is known what a day does. */
function onTheSameBench(
  scores: readonly StoredScore[],
  { a, b }: ChosenTrials,
  gate: Parameters<typeof whyLeftOut>[1],
): StoredScore[] {
  const benches = new Set([...a, ...b].map(benchKey));
  // Of two benches neither says what the other's days do.
  if (benches.size !== 1) return [];
  return scores.filter((score) => benches.has(benchKey(score)) && whyLeftOut(score, gate) === null);
}

function calibrationCautions({ a, b }: ChosenTrials): string[] {
  const calibrations = new Set([...a, ...b].map(({ calibrationId }) => calibrationId));
  if (calibrations.size <= 1) return [];
  return [
    `The trials are read by ${calibrations.size} calibrations. The uncertainty of their scales does not cancel between them and is not in the interval.`,
  ];
}

function othersOf({ others }: ChosenTrials, contenderOf: (key: string) => Contender): Contender[] {
  return [...new Set(others.map(({ key }) => key))].map(contenderOf);
}

function inOrder(scores: readonly StoredScore[]): StoredScore[] {
  return scores.toSorted((one, other) => compareText(one.startedAt, other.startedAt));
}
