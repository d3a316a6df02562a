import { fitSampleClock } from '../../shared-lib/signal/fit-sample-clock.ts';
import { evaluateTrial } from '../../shared-lib/trial/evaluate-trial.ts';
import type { TrialFigures, TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import { getCalibration } from './calibration-repository.ts';
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

/** The figures of a stored trial from its own counts, under the calibration it was made with. */
export function evaluateRecording(
  database: ReadableDatabase,
  record: TrialRecord,
  recording: Recording,
  at: {
    readonly sampleRateHz: number;
    readonly zeroAfterCounts: number | null;
    readonly levelsNm: readonly number[];
  },
): TrialFigures {
  return evaluateTrial({
    counts: recording.counts,
    gaps: recording.gaps,
    sampleRateHz: at.sampleRateHz,
    conditions: record.conditions,
    calibration: getCalibration(database, record.conditions.calibrationId),
    step: record.summary.step,
    levelsNm: at.levelsNm,
    zeroAfterCounts: at.zeroAfterCounts,
    faults: record.faults,
  });
}
