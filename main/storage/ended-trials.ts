import { type ReadableDatabase, reading } from './database.ts';

/** Trials with all their samples, oldest first: voided, interrupted and undecided ones too, for none is left out of the data. */
export interface EndedTrials {
  readonly trialIds: string[];
  readonly isSimulated: boolean;
}

interface EndedTrialRow {
  readonly id: string;
  readonly isSimulated: number;
}

/** The calibration that a trial is read by now. */
const READ_BY = `coalesce(
  (SELECT calibration_id FROM calibration_assignment WHERE trial_id = trial.id ORDER BY id DESC LIMIT 1),
  calibration_id)`;

/** Either of a session, or all that a calibration reads, or all there are. `isSimulated`: one of them at least. */
export function listEndedTrials(
  database: ReadableDatabase,
  which: { readonly sessionId?: string; readonly calibrationId?: string } = {},
): EndedTrials {
  const { sessionId = null, calibrationId = null } = which;
  return reading(() => {
    const rows = database
      .prepare<{ sessionId: string | null; calibrationId: string | null }, EndedTrialRow>(
        `SELECT id, is_simulated AS isSimulated FROM trial
         WHERE state <> 'recording' AND (@sessionId IS NULL OR session_id = @sessionId)
           AND (@calibrationId IS NULL OR ${READ_BY} = @calibrationId)
         ORDER BY started_at, id`,
      )
      .all({ sessionId, calibrationId });
    return {
      trialIds: rows.map(({ id }) => id),
      isSimulated: rows.some(({ isSimulated }) => isSimulated === 1),
    };
  });
}
