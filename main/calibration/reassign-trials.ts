import type { RequestParams } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import { readingCalibrationId } from '../../shared-lib/trial/assignment.ts';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import { getCalibration } from '../storage/calibration-repository.ts';
import { getTrial } from '../storage/trial-repository.ts';
import type { CalibrationTools } from './calibration-tools.ts';
import { whyNotReadable } from './why-not-readable.ts';

/** Ours: how long to wait before looking again whether the trial under way is over. */
const BUSY_PAUSE_MS = 250;

/**
 * Has trials read by another calibration of their transducer from now on: each gets the decision and new figures together,
 * in the writer thread, while main goes on. What they were made with, and the figures under it, stay.
 *
 * Errors: AppError before anything is changed where one of the trials cannot be read by it: 'trial-not-found',
 * 'trial-not-finished', 'calibration-not-found', or 'invalid-state' for another transducer, another amplifier, or counts
 * that run the other way. 'block-corrupt' and those of the storage may come midway; the message then says how many are
 * changed.
 */
export async function reassignTrials(
  tools: CalibrationTools,
  request: RequestParams<'reassignTrials'>,
  isClosed: () => boolean,
): Promise<number> {
  const { database, settings, writer, bench } = tools;
  const calibration = getCalibration(database, request.calibrationId);
  const trials = [...new Set(request.trialIds)].map((trialId) => getTrial(database, trialId));
  for (const trial of trials) {
    requireReadable(trial, calibration, getCalibration(database, trial.conditions.calibrationId));
  }
  const assigned = {
    calibrationId: calibration.id,
    reason: request.reason,
    operator: settings.current().operator,
    at: tools.platform.clock.now().toISOString(),
  };
  let changedCount = 0;
  for (const { summary, ...record } of trials) {
    if (readingCalibrationId(record) === calibration.id) continue;
    // Nothing competes with writing a trial under way; those here wait for it.
    while (bench.isTrialUnderWay() && !isClosed()) {
      await new Promise((resolve) => setTimeout(resolve, BUSY_PAUSE_MS));
    }
    if (isClosed()) throw stopped(changedCount, trials.length);
    try {
      await writer.perform<'assign'>({
        type: 'assign',
        trialId: summary.id,
        assigned,
        levelsNm: settings.current().levelsNm,
      });
    } catch (cause) {
      throw midway(cause, changedCount);
    }
    changedCount += 1;
    tools.trialsChanged(summary.id);
  }
  return changedCount;
}

function requireReadable(
  { summary, conditions }: TrialRecord,
  calibration: CalibrationVersion,
  madeWith: CalibrationVersion,
): void {
  const details = { trialId: summary.id, calibrationId: calibration.id };
  if (summary.state === 'recording') {
    throw new AppError(
      'trial-not-finished',
      'One of these trials is still being recorded, so none was changed. Choose again when it has ended.',
      details,
    );
  }
  const why = whyNotReadable({ conditions }, calibration, madeWith);
  if (why === null) return;
  throw new AppError(
    'invalid-state',
    `One of these trials ${why}. None of the trials was changed; choose others.`,
    details,
  );
}

function midway(cause: unknown, changedCount: number): unknown {
  if (!(cause instanceof AppError) || changedCount === 0) return cause;
  return new AppError(
    cause.code,
    `${cause.message} ${changedCount} of the chosen trials had been changed by then, and stay so.`,
    { ...cause.details, changedCount },
    cause,
  );
}

function stopped(changedCount: number, chosenCount: number): AppError {
  return new AppError(
    'shutting-down',
    `The program is closing. ${changedCount} of ${chosenCount} trials are read by the other calibration; choose the rest again after the next start.`,
    { changedCount },
  );
}
