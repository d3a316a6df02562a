import { AppError } from '../app-error.ts';
import { fitSampleClock } from '../signal/fit-sample-clock.ts';
import { countLostSlots } from '../signal/sample-block.ts';
import { DEFINITION_VERSION, MEASURES_SINCE_VERSION } from '../trial/definition-version.ts';
import type { TrialFigures } from '../trial/trial-model.ts';
import { compareValues, isNotEmpty, wayThatAgrees } from './compare-values.ts';
import {
  evaluateStored,
  possibleDoubts,
  type TrialsOfCalibrations,
  trialsSaidBefore,
} from './evaluate-stored.ts';
import { NotAPackage } from './not-a-package.ts';
import type { PackageFiles } from './package-files.ts';
import type { StoredCalibrations } from './stored-calibrations.ts';
import type { StoredEvaluation, StoredTrial } from './stored-trials.ts';
import type { SuspectWindows } from './suspect-windows.ts';
import type { Tally } from './tally.ts';
import { type PackedRecording, readPackedRecording } from './trial-recording.ts';

export interface TrialContext {
  readonly files: PackageFiles;
  readonly calibrations: StoredCalibrations;
  readonly windows: SuspectWindows;
  readonly trials: readonly StoredTrial[];
}

/** A trial with figures that were computed from its counts. */
export interface RecomputedTrial {
  readonly trial: StoredTrial;
  /** Of its slots, those that have a sample. */
  readonly presentSlots: number;
  /** In the order of the trial's evaluations; of a definition with other measures, and of what could not be computed, those of the package. */
  readonly figures: readonly TrialFigures[];
  /** At another onset level, with other levels. Null: its counts cannot be read, or it has no figures. */
  readonly measureAt: ((at: MeasuredAt) => Promise<TrialFigures>) | null;
}

export interface MeasuredAt {
  readonly onsetLevelNm: number;
  readonly levelsNm: readonly number[];
}

/** All trials, one after the other. */
export async function recomputeTrials(context: TrialContext, tally: Tally): Promise<RecomputedTrial[]> {
  const trialsOf = Map.groupBy(context.trials, ({ conditions }) => conditions.calibrationId);
  const recomputed: RecomputedTrial[] = [];
  for (const trial of context.trials) recomputed.push(await recomputeTrial(context, trialsOf, trial, tally));
  return recomputed;
}

async function recomputeTrial(
  context: TrialContext,
  trialsOf: TrialsOfCalibrations,
  trial: StoredTrial,
  tally: Tally,
): Promise<RecomputedTrial> {
  const asStored = trial.evaluations.map(({ figures }) => figures);
  try {
    const recording = await readPackedRecording(context.files, trial);
    const sampleRateHz = checkRate(trial, recording, tally);
    const figures = trial.evaluations.map((evaluation) =>
      recomputeEvaluation(context, trialsOf, { trial, recording, sampleRateHz, evaluation }, tally),
    );
    const newest = trial.evaluations.at(-1);
    return {
      trial,
      presentSlots: trial.slotCount - countLostSlots(recording.gaps),
      figures,
      measureAt:
        newest === undefined
          ? null
          : async (at) =>
              // Read again, so that the counts of one trial only are in memory at a time.
              evaluateStored(trial, await readPackedRecording(context.files, trial), sampleRateHz, {
                ...at,
                calibration: context.calibrations.get(newest.calibrationId),
                doubts: [],
              }),
    };
  } catch (error) {
    if (!(error instanceof NotAPackage)) throw error;
    tally.differ('figures of trials from raw counts', `trial ${trial.id}, ${error.where}`, error.message);
    return { trial, presentSlots: 0, figures: asStored, measureAt: null };
  }
}

/** By the trial's own arrival times; too few of them leave what was expected, which nothing here can tell. */
function checkRate(trial: StoredTrial, { marks }: PackedRecording, tally: Tally): number {
  const { row } = trial;
  const fit = fitSampleClock(marks);
  const where = `trial ${trial.id}`;
  if (fit === null) {
    tally.note(
      where,
      'Too few arrival times for a sample rate: the one that the amplifier was expected to have is taken.',
    );
  } else if (trial.sampleRateHz !== null) {
    compareValues(
      tally,
      'sample rates from arrival times',
      { where },
      {
        sampleRateHz: trial.sampleRateHz,
        rateResidualUs: row.numberOrNull('rate_residual_us'),
        rateStandardErrorHz: row.numberOrNull('rate_standard_error_hz'),
      },
      {
        sampleRateHz: fit.sampleRateHz,
        rateResidualUs: fit.residualUs,
        rateStandardErrorHz: fit.rateStandardErrorHz,
      },
    );
  }
  return fit?.sampleRateHz ?? trial.sampleRateHz ?? trial.conditions.profile.nominalRateHz;
}

interface EvaluationToCheck {
  readonly trial: StoredTrial;
  readonly recording: PackedRecording;
  readonly sampleRateHz: number;
  readonly evaluation: StoredEvaluation;
}

function recomputeEvaluation(
  context: TrialContext,
  trialsOf: TrialsOfCalibrations,
  { trial, recording, sampleRateHz, evaluation }: EvaluationToCheck,
  tally: Tally,
): TrialFigures {
  const said = evaluation.figures;
  const isNewest = evaluation === trial.evaluations.at(-1);
  const where = isNewest ? `trial ${trial.id}` : `trial ${trial.id}, evaluation of ${evaluation.at}`;
  checkFrame(trial, evaluation, where, tally);
  const { definitionVersion } = evaluation;
  if (definitionVersion < MEASURES_SINCE_VERSION || definitionVersion > DEFINITION_VERSION) {
    tally.note(
      where,
      `Its figures follow definition ${definitionVersion}, and this program has definition ${DEFINITION_VERSION}: they were not computed again.`,
    );
    return said;
  }
  try {
    const calibration = context.calibrations.get(evaluation.calibrationId);
    const ways = possibleDoubts(trial, calibration, {
      windows: context.windows,
      trialsOf,
      saidBefore: trialsSaidBefore(said),
    });
    const computed = ways.map((doubts) =>
      evaluateStored(trial, recording, sampleRateHz, {
        calibration,
        levelsNm: said.timeToLevel.map(({ levelNm }) => levelNm),
        doubts,
      }),
    );
    const found = isNotEmpty(computed) ? wayThatAgrees(said, computed) : said;
    if (definitionVersion === DEFINITION_VERSION) {
      hold(tally, where, said, found);
      return found;
    }
    tally.note(
      where,
      `Its quality was judged by definition ${definitionVersion}, and this program judges by ${DEFINITION_VERSION}: the verdict was not held against, all measures were.`,
    );
    const asThen = { ...found, definitionVersion: said.definitionVersion, quality: said.quality };
    holdMeasures(tally, where, said, asThen);
    return asThen;
  } catch (error) {
    if (error instanceof NotAPackage) {
      tally.differ('figures of trials from raw counts', `${where}, ${error.where}`, error.message);
    } else if (error instanceof AppError) {
      tally.differ(
        'figures of trials from raw counts',
        where,
        `They cannot be computed again: ${error.message}`,
      );
    } else throw error;
    return said;
  }
}

function hold(tally: Tally, where: string, said: TrialFigures, computed: TrialFigures): void {
  holdMeasures(tally, where, said, computed);
  compareValues(tally, 'verdicts on quality', { where, path: ['quality'] }, said.quality, computed.quality);
}

function holdMeasures(tally: Tally, where: string, said: TrialFigures, computed: TrialFigures): void {
  const [figures, computedFigures] = [said, computed].map((one) => ({ ...one, quality: undefined }));
  compareValues(tally, 'figures of trials from raw counts', { where }, figures, computedFigures);
}

/** What stands beside the figures of an evaluation, and by which calibration it was to be made. */
function checkFrame(trial: StoredTrial, evaluation: StoredEvaluation, where: string, tally: Tally): void {
  const { figures } = evaluation;
  const readBy = trial.assignments.findLast(({ at }) => at <= evaluation.at)?.calibrationId;
  compareValues(
    tally,
    'figures of trials from raw counts',
    { where },
    { calibrationId: evaluation.calibrationId, definitionVersion: evaluation.definitionVersion },
    {
      calibrationId: readBy ?? trial.conditions.calibrationId,
      definitionVersion: figures.definitionVersion,
    },
  );
}
