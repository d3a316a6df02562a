import { distributionFunctions } from '../calibration/distribution-functions.ts';
import type { QualityGate } from '../run-sheet/session-model.ts';
import type { ChosenTrials } from './choose-trials.ts';
import { compareTwo, type TwoResult } from './compare-two.ts';
import { toComparedTrial } from './compared-trial.ts';
import type { ComparedTrial, Comparison, Contender, Side } from './comparison-model.ts';
import type { KnownDayToDay } from './day-to-day.ts';
import { compareText } from './like-for-like.ts';
import type { MeasuredAlike } from './measure-alike.ts';
import {
  betterOf,
  describeMeasure,
  formatMeasured,
  formatMeasuredDifference,
  isTime,
  releaseCautions,
} from './measure-words.ts';
import type { PulledTrial } from './pulled-trial.ts';
import { numberRoundsAcrossSheets } from './rounds-across-sheets.ts';
import type { TrialScales } from './scale-difference.ts';
import { suspectCautions } from './suspect-cautions.ts';
import type { ComparedStep, TrialMeasure } from './trial-measure.ts';

/**
 * The rules by which two are compared now. 2: a trial is left out by the failed check of what it was made with, each checkpoint has the
 * days of its own instant, the caution on one run in a session goes by the values, and a name may be that of a tool that was put away.
 * 3: trials of two definitions that have the same measures are alike (like-for-like.ts). 4: suspect trials that nobody has decided
 * about are told, sessions of one day are one day (day-to-day.ts), scales that do not cancel are in the interval (scale-difference.ts), a run
 * sheet is whole, whatever sessions it took, and a released preload is called what it is. Before 2 there was no number.
 */
export const COMPARING = 4;

/** No plan declares an early look yet, so none is paid for. */
const CONFIDENCE = 0.95;
const CHECKPOINTS_S = [1, 2, 3, 5, 10, 15] as const;

export interface ChosenComparison<Trial extends PulledTrial> {
  readonly step: ComparedStep;
  readonly measure: TrialMeasure;
  readonly gate: QualityGate;
  readonly a: Contender;
  readonly b: Contender;
  readonly contenderOf: (key: string) => Contender;
  readonly chosen: ChosenTrials<Trial>;
  /** Of the trials of `trialsToMeasure`, by `measuresToRead`. */
  readonly alike: MeasuredAlike;
  /** Of those that take no part, at their own onset level. */
  readonly storedValue: (trial: Trial) => number | null;
  readonly marginPercent: number;
  /** Rounds that a plan fixed, by run sheet. */
  readonly planned: ReadonlyMap<string, number>;
  /** Of the measure itself, and of the torque at each checkpoint. */
  readonly dayToDayOf: (measure: TrialMeasure) => KnownDayToDay | null;
  readonly referenceDrift: Comparison['referenceDrift'];
  /** Relative standard uncertainty of the scale of a calibration; null: it states none. */
  readonly scaleOf: (calibrationId: string) => number | null;
  /** By which rules; left out: those of today. */
  readonly comparing?: number;
}

/** In the order in which they were pulled. */
export function trialsToMeasure<Trial extends PulledTrial>({ a, b, others }: ChosenTrials<Trial>): Trial[] {
  return [...a, ...b, ...others].toSorted((one, other) => compareText(one.startedAt, other.startedAt));
}

/** The measure itself, then those within the planned time; the torque of a breakaway is not one that the tool builds. */
export function measuresToRead(step: ComparedStep, measure: TrialMeasure): TrialMeasure[] {
  return [measure, ...checkpointsOf(step)];
}

/** Two contenders by the trials that were chosen, with everything that the answer rests on. */
export function compareChosen<Trial extends PulledTrial>({
  step,
  measure,
  gate,
  chosen,
  alike,
  ...given
}: ChosenComparison<Trial>): Comparison {
  const taken = trialsToMeasure(chosen);
  const trials = comparedTrials(chosen, taken, alike, given.storedValue);
  const rounds = numberRoundsAcrossSheets(taken);
  const isByRules4 = (given.comparing ?? COMPARING) >= 4;
  const torqueScales = isByRules4 ? scalesOf(taken, given.scaleOf) : null;
  const plannedRounds = { a: planOf(chosen.a, given.planned), b: planOf(chosen.b, given.planned) };
  const found = compareTwo(
    {
      a: given.a.key,
      b: given.b.key,
      trials: trials.map((trial) => ({ ...trial, round: rounds.get(trial.trialId) ?? trial.round })),
      better: betterOf(measure),
      marginPercent: given.marginPercent,
      confidence: CONFIDENCE,
      plannedRounds,
      dayToDay: given.dayToDayOf(measure),
      isLikeForLike: chosen.isLikeForLike,
      scales: isTime(measure) ? null : torqueScales,
      torqueScales,
      checkpoints: checkpointsOf(step).map((torque, index) => ({
        atS: torque.atS,
        dayToDay: given.dayToDayOf(torque),
        trials: taken.map(({ trialId }) => ({
          trialId,
          valueNm: alike.valuesOf(trialId)?.[index + 1] ?? null,
        })),
      })),
      words: {
        a: given.a.label,
        b: given.b.label,
        what: describeMeasure(measure),
        format: (value) => formatMeasured(measure, value),
        formatDifference: (value) => formatMeasuredDifference(measure, value),
      },
    },
    distributionFunctions,
  );
  const { a, b, cautions, ...result } = found;
  return {
    measure,
    step,
    better: betterOf(measure),
    marginPercent: given.marginPercent,
    gate,
    a: sideOf(given.a, a, plannedRounds.a),
    b: sideOf(given.b, b, plannedRounds.b),
    ...result,
    cautions: [
      ...cautions,
      ...alike.cautions,
      ...(isByRules4
        ? [
            ...(isTime(measure) ? scalesBesideInterval(chosen) : []),
            ...releaseCautions(measure),
            ...suspectCautions([...chosen.a, ...chosen.b]),
          ]
        : scalesBesideInterval(chosen)),
    ],
    isLikeForLike: chosen.isLikeForLike,
    referenceDrift: given.referenceDrift,
    trials,
    others: othersOf(chosen, given.contenderOf),
  };
}

function checkpointsOf({ kind, plannedS }: ComparedStep): { figure: 'torqueAt'; atS: CheckpointS }[] {
  if (kind === 'breakaway') return [];
  return CHECKPOINTS_S.filter((atS) => atS <= plannedS).map((atS) => ({ figure: 'torqueAt', atS }));
}
type CheckpointS = (typeof CHECKPOINTS_S)[number];

function comparedTrials<Trial extends PulledTrial>(
  { leftOut }: ChosenTrials<Trial>,
  taken: readonly Trial[],
  alike: MeasuredAlike,
  storedValue: (trial: Trial) => number | null,
): ComparedTrial[] {
  return [
    ...taken.map((trial) =>
      toComparedTrial(
        trial,
        alike.valuesOf(trial.trialId)?.[0] ?? null,
        alike.unknown.get(trial.trialId) ?? null,
      ),
    ),
    ...leftOut.map(({ score, because }) => toComparedTrial(score, storedValue(score), because)),
  ].toSorted((one, other) => compareText(one.startedAt, other.startedAt));
}

function sideOf(contender: Contender, figures: TwoResult['a'], plannedRounds: number | null): Side {
  return { contender, ...figures, plannedRounds };
}

/** What the plans behind a side's trials fixed beforehand, all together; null: nothing did. */
function planOf(trials: readonly PulledTrial[], planned: ReadonlyMap<string, number>): number | null {
  const sheets = runSheetsOf(trials);
  return sheets.length === 0 ? null : sheets.reduce((sum, sheet) => sum + (planned.get(sheet) ?? 0), 0);
}

export function runSheetsOf(trials: readonly PulledTrial[]): string[] {
  return [...new Set(trials.flatMap(({ runSheetId }) => runSheetId ?? []))];
}

function scalesOf(
  trials: readonly PulledTrial[],
  uncertaintyOf: (calibrationId: string) => number | null,
): TrialScales {
  const calibrations = new Map(trials.map(({ trialId, calibrationId }) => [trialId, calibrationId]));
  return {
    calibrationOf(trialId) {
      const calibrationId = calibrations.get(trialId);
      if (calibrationId === undefined) throw new Error(`${trialId} is not compared here`);
      return calibrationId;
    },
    uncertaintyOf,
  };
}

/** Of times, and of all measures by rules of before. */
function scalesBesideInterval({ a, b }: ChosenTrials): string[] {
  const calibrations = new Set([...a, ...b].map(({ calibrationId }) => calibrationId));
  if (calibrations.size <= 1) return [];
  return [
    `The trials are read by ${calibrations.size} calibrations. The uncertainty of their scales does not cancel between them and is not in the interval.`,
  ];
}

function othersOf({ others }: ChosenTrials, contenderOf: (key: string) => Contender): Contender[] {
  return [...new Set(others.map(({ key }) => key))].map(contenderOf);
}
