import { calibrationDoubts } from '../calibration/calibration-doubts.ts';
import { evaluateTrial } from '../trial/evaluate-trial.ts';
import type { TrialFigures } from '../trial/trial-model.ts';
import { daysAt } from '../instants.ts';
import type { StoredCalibration } from './stored-calibrations.ts';
import type { StoredTrial } from './stored-trials.ts';
import type { SuspectWindows } from './suspect-windows.ts';
import type { PackedRecording } from './trial-recording.ts';

/** What a trial is measured by beside its counts and conditions. */
export interface MeasuredBy {
  readonly calibration: StoredCalibration;
  readonly levelsNm: readonly number[];
  readonly doubts: readonly string[];
  /** Left out: that of the trial. */
  readonly onsetLevelNm?: number;
}

/** The figures of a trial from its raw counts, as the program makes them. Errors: those of `evaluateTrial`. */
export function evaluateStored(
  trial: StoredTrial,
  recording: PackedRecording,
  sampleRateHz: number,
  { calibration, levelsNm, doubts, onsetLevelNm }: MeasuredBy,
): TrialFigures {
  return evaluateTrial({
    counts: recording.counts,
    gaps: recording.gaps,
    sampleRateHz,
    conditions: {
      ...trial.conditions,
      onsetLevelNm: onsetLevelNm ?? trial.conditions.onsetLevelNm,
    },
    calibration: calibration.version,
    calibrationDoubts: doubts,
    step: trial.step,
    levelsNm,
    zeroAfterCounts: trial.zeroAfterCounts,
    liveOnsetSlot:
      onsetLevelNm === undefined && calibration.version.id === trial.conditions.calibrationId
        ? trial.onsetSlot
        : null,
    faults: trial.faults,
  });
}

/** Enough to tell which trials were made with a calibration before another one. */
export type TrialsOfCalibrations = ReadonlyMap<string, readonly Pick<StoredTrial, 'startedAt'>[]>;

/**
 * What can have been said against a calibration when a trial began. More than one way where a package does not tell: on which day
 * it was where the bench stands, and how many trials had been made with it that are not in the package (`saidBefore`: as the
 * figures say it).
 */
export function possibleDoubts(
  trial: Pick<StoredTrial, 'startedAt'>,
  { version }: StoredCalibration,
  context: {
    readonly windows: Pick<SuspectWindows, 'isUnderFailedCheck'>;
    readonly trialsOf: TrialsOfCalibrations;
    readonly saidBefore: number | null;
  },
): string[][] {
  const counted = (context.trialsOf.get(version.id) ?? []).filter(
    ({ startedAt }) => startedAt < trial.startedAt,
  ).length;
  const trialsBefore = Math.max(counted, context.saidBefore ?? 0);
  const isUnderFailedCheck = context.windows.isUnderFailedCheck(version.id, trial.startedAt);
  const ways = daysAt(trial.startedAt).map((day) =>
    calibrationDoubts(version, { day, trialsBefore, isUnderFailedCheck }),
  );
  return [...new Map(ways.map((doubts) => [doubts.join('\n'), doubts])).values()];
}

/** How many trials a sentence among the reasons says were made with the calibration before. */
export function trialsSaidBefore(figures: TrialFigures): number | null {
  for (const { sentence } of figures.quality.reasons) {
    const match = /; (\d+) had been made with it before/.exec(sentence);
    if (match !== null) return Number(match[1]);
  }
  return null;
}
