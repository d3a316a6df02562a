import { calibrationDoubts as doubtsOf } from '../../shared-lib/calibration/calibration-doubts.ts';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import { localDay } from '../platform/local-day.ts';
import { type ReadableDatabase, reading } from './database.ts';

/** How much a calibration has been used, and whether it still held when a trial began. */
export function countTrialsMadeWith(database: ReadableDatabase, calibrationId: string): number {
  return reading(() =>
    Number(
      database
        .prepare<[string], number>('SELECT count(*) FROM trial WHERE calibration_id = ?')
        .pluck()
        .get(calibrationId),
    ),
  );
}

/** Those whose newest figures rest on it, whatever they were made with. */
export function countTrialsReadBy(database: ReadableDatabase, calibrationId: string): number {
  return reading(() =>
    Number(
      database
        .prepare<[{ calibrationId: string }], number>(
          `SELECT
             (SELECT count(*) FROM trial WHERE calibration_id = @calibrationId
              AND NOT EXISTS (SELECT 1 FROM calibration_assignment WHERE trial_id = trial.id))
             + (SELECT count(*) FROM calibration_assignment AS newest WHERE calibration_id = @calibrationId
                AND NOT EXISTS (SELECT 1 FROM calibration_assignment AS later
                                WHERE later.trial_id = newest.trial_id AND later.id > newest.id))`,
        )
        .pluck()
        .get({ calibrationId }),
    ),
  );
}

/**
 * Why a calibration no longer held when a trial began, in sentences; empty: it held. It follows from what is stored and
 * never changes, so a trial that is evaluated again is judged alike.
 */
export function calibrationDoubts(
  database: ReadableDatabase,
  calibration: CalibrationVersion,
  startedAt: string,
): string[] {
  return doubtsOf(calibration, {
    day: localDay(startedAt),
    // Counted only where it says something.
    trialsBefore:
      calibration.validForTrials === null ? 0 : countTrialsBefore(database, calibration.id, startedAt),
    isUnderFailedCheck: wasUnderFailedCheck(database, calibration.id, startedAt),
  });
}

function countTrialsBefore(database: ReadableDatabase, calibrationId: string, startedAt: string): number {
  return reading(() =>
    Number(
      database
        .prepare<[string, string], number>(
          'SELECT count(*) FROM trial WHERE calibration_id = ? AND started_at < ?',
        )
        .pluck()
        .get(calibrationId, startedAt),
    ),
  );
}

function wasUnderFailedCheck(database: ReadableDatabase, calibrationId: string, startedAt: string): boolean {
  return reading(
    () =>
      database
        .prepare<[string, string, string]>(
          'SELECT 1 FROM suspect_window WHERE calibration_id = ? AND failed_at < ? AND until > ?',
        )
        .get(calibrationId, startedAt, startedAt) !== undefined,
  );
}
