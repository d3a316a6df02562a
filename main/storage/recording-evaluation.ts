import { fitSampleClock } from '../../shared-lib/signal/fit-sample-clock.ts';
import { evaluateTrial } from '../../shared-lib/trial/evaluate-trial.ts';
import { readingCalibrationId } from '../../shared-lib/trial/assignment.ts';
import type { TrialFigures, TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import { getCalibration } from './calibration-repository.ts';
import { calibrationDoubts } from './calibration-use.ts';
import type { ReadableDatabase } from './database.ts';
import type { FinishedRecording, Recording } from './recording-repository.ts';

export interface FittedRate extends Pick<FinishedRecording, 'rateResidualUs' | 'rateStandardErrorHz'> {
  readonly sampleRateHz: number;
}

/** The rate of a recording by its own arrival times; `otherwiseHz` where there are too few of them. */
export function fitRate(recording: Recording, otherwiseHz: number): FittedRate {
  const fit = fitSampleClock(recording.marks);
  return {
    sampleRateHz: fit?.sampleRateHz ?? otherwiseHz,
    rateResidualUs: fit?.residualUs ?? null,
    rateStandardErrorHz: fit?.rateStandardErrorHz ?? null,
  };
}

/**
 * The figures of a stored trial from its own counts, under the calibration it is read by: the one it was made with unless
 * it was assigned to another, or `calibrationId`. Onset level and window are those of the trial unless others are given.
 */
export function evaluateRecording(
  database: ReadableDatabase,
  record: TrialRecord,
  recording: Recording,
  at: {
    readonly sampleRateHz: number;
    readonly zeroAfterCounts: number | null;
    readonly levelsNm: readonly number[];
    readonly calibrationId?: string | undefined;
    readonly onsetLevelNm?: number | undefined;
    readonly windowS?: number | undefined;
  },
): TrialFigures {
  const calibration = getCalibration(database, at.calibrationId ?? readingCalibrationId(record));
  // By another calibration, level or window another onset is no fault of the run.
  const isReadAsLive =
    calibration.id === record.conditions.calibrationId &&
    at.onsetLevelNm === undefined &&
    at.windowS === undefined;
  return evaluateTrial({
    counts: recording.counts,
    gaps: recording.gaps,
    sampleRateHz: at.sampleRateHz,
    conditions: {
      ...record.conditions,
      onsetLevelNm: at.onsetLevelNm ?? record.conditions.onsetLevelNm,
    },
    calibration,
    calibrationDoubts: calibrationDoubts(database, calibration, record.summary.startedAt),
    step: record.summary.step,
    levelsNm: at.levelsNm,
    zeroAfterCounts: at.zeroAfterCounts,
    liveOnsetSlot: isReadAsLive ? record.onsetSlot : null,
    faults: record.faults,
    windowS: at.windowS,
  });
}
