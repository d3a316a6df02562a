import { AppError } from '../../shared-lib/app-error.ts';
import type { OpenFailure } from '../../shared-lib/calibration/daily-check-model.ts';
import { type Suspicion, suspicionSchema } from '../../shared-lib/trial/suspicion.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';

/** Which trials a failed check casts doubt on is in the views of form 40; here it is asked for and decided on. */
interface SuspectWindow {
  readonly checkId: number;
  readonly failedAt: string;
  readonly since: string;
  readonly until: string;
}

/** What decides whether a trial is suspect: what it was made with, and when. */
export interface TrialInTime {
  readonly id: string;
  readonly calibrationId: string;
  readonly startedAt: string;
}

interface NewestDecision {
  readonly checkId: number;
  readonly decision: NonNullable<Suspicion['decision']>;
  readonly reason: string;
}

/**
 * Looks up many trials at once, by the same rule as the view `suspect_trial`: that one finds the suspect among all trials,
 * this one reads the windows of a calibration once, however many of its trials are on a page.
 */
export function createSuspicionLookup(database: ReadableDatabase): (trial: TrialInTime) => Suspicion | null {
  const selectWindows = database.prepare<[string], SuspectWindow>(
    `SELECT check_id AS checkId, failed_at AS failedAt, since, until FROM suspect_window
     WHERE calibration_id = ? ORDER BY check_id DESC`,
  );
  const selectDecision = database.prepare<[string], NewestDecision>(
    `SELECT check_id AS checkId, decision, reason FROM suspicion_decision WHERE trial_id = ?
     ORDER BY id DESC LIMIT 1`,
  );
  const windowsOf = new Map<string, SuspectWindow[]>();

  return ({ id, calibrationId, startedAt }) => {
    let windows = windowsOf.get(calibrationId);
    if (windows === undefined) {
      windows = selectWindows.all(calibrationId);
      windowsOf.set(calibrationId, windows);
    }
    const mark = windows.find(({ since, until }) => startedAt > since && startedAt < until);
    if (!mark) return null;
    const newest = selectDecision.get(id);
    const isInForce = newest?.checkId === mark.checkId || newest?.decision === 'excluded';
    return suspicionSchema.parse({
      checkId: mark.checkId,
      failedAt: mark.failedAt,
      decision: isInForce ? newest.decision : null,
      reason: isInForce ? newest.reason : null,
    });
  };
}

/** Trials on this transducer under an undecided mark, newest first; a voided one counts nowhere, so it waits for nobody. */
export function listSuspectTrialIds(database: ReadableDatabase, transducerId: string): string[] {
  return reading(() =>
    database
      .prepare<[string], string>(
        `SELECT id FROM trial
         WHERE transducer_id = ? AND is_voided = 0 AND id IN (${undecidedTrials})
         ORDER BY started_at DESC, id DESC`,
      )
      .pluck()
      .all(transducerId),
  );
}

/** By trial on this transducer, decided on or not, voided or not: which failed check casts doubt on it. */
export function listSuspectMarks(
  database: ReadableDatabase,
  transducerId: string,
): ReadonlyMap<string, number> {
  return reading(() => {
    const marks = database
      .prepare<[string], { trialId: string; checkId: number }>(
        `SELECT mark.trial_id AS trialId, mark.check_id AS checkId
         FROM suspect_trial AS mark JOIN trial ON trial.id = mark.trial_id WHERE trial.transducer_id = ?`,
      )
      .all(transducerId);
    return new Map(marks.map(({ trialId, checkId }) => [trialId, checkId]));
  });
}

/**
 * The newest failed check of a calibration that no pass has followed, and every one on the transducer, whatever calibration it was
 * made under, that trials of `listSuspectTrialIds` wait for; newest first.
 */
export function listOpenFailures(
  database: ReadableDatabase,
  { transducerId, calibrationId }: { readonly transducerId: string; readonly calibrationId: string | null },
): OpenFailure[] {
  return reading(() => {
    const waiting = database
      .prepare<[string], { trialId: string; checkId: number; failedAt: string }>(
        `SELECT trial.id AS trialId, mark.check_id AS checkId, mark.failed_at AS failedAt
         FROM suspect_trial AS mark JOIN trial ON trial.id = mark.trial_id
         WHERE trial.transducer_id = ? AND trial.is_voided = 0 AND mark.decision IS NULL
         ORDER BY trial.started_at DESC, trial.id DESC`,
      )
      .all(transducerId);
    const unpassed = database
      .prepare<[string | null], { checkId: number; failedAt: string }>(
        `SELECT check_id AS checkId, failed_at AS failedAt FROM suspect_window
         WHERE calibration_id = ? AND until = '9999' ORDER BY check_id DESC LIMIT 1`,
      )
      .all(calibrationId);
    const failures = new Map<number, OpenFailure>();
    for (const { checkId, failedAt } of [...unpassed, ...waiting]) {
      if (failures.has(checkId)) continue;
      const trialIds = waiting.filter((one) => one.checkId === checkId).map(({ trialId }) => trialId);
      failures.set(checkId, { checkId, failedAt, trialIds });
    }
    return [...failures.values()].sort((one, other) => other.checkId - one.checkId);
  });
}

export const undecidedTrials = `SELECT trial_id FROM suspect_trial WHERE decision IS NULL`;
export const excludedTrials = `SELECT trial_id FROM suspect_trial WHERE decision = 'excluded'`;

/**
 * Stores what the operator made of suspect trials: all of them or none. `checkId`: the failed check that was looked at.
 *
 * Errors: AppError 'invalid-state' where one of them is not suspect, or under the mark of another check.
 */
export function decideSuspects(
  database: WritableDatabase,
  about: { readonly trialIds: readonly string[]; readonly checkId: number },
  decided: {
    readonly decision: NonNullable<Suspicion['decision']>;
    readonly reason: string;
    readonly operator: string;
    readonly at: string;
  },
): void {
  const { decision, reason, operator, at } = decided;
  writing(database, () => {
    const checkOf = database
      .prepare<[string], number>('SELECT check_id FROM suspect_trial WHERE trial_id = ?')
      .pluck();
    const insert = database.prepare(
      `INSERT INTO suspicion_decision (trial_id, check_id, decision, reason, operator, at) VALUES (?, ?, ?, ?, ?, ?)`,
    );
    for (const trialId of new Set(about.trialIds)) {
      const checkId = checkOf.get(trialId);
      if (checkId === undefined) throw notSuspect(trialId);
      // What was looked at was another failure; the reason is not about this one.
      if (about.checkId !== checkId) throw underAnotherMark(trialId, checkId);
      insert.run(trialId, checkId, decision, reason, operator, at);
    }
  });
}

function notSuspect(trialId: string): AppError {
  return new AppError(
    'invalid-state',
    'No failed check casts doubt on one of these trials, so there is nothing to decide about it. Nothing was stored for any of them. Look at the list again and choose anew.',
    { trialId },
  );
}

function underAnotherMark(trialId: string, checkId: number): AppError {
  return new AppError(
    'invalid-state',
    'Another check casts doubt on one of these trials by now than the one this decision is about. Nothing was stored for any of them. Look at the list again and choose anew.',
    { trialId, checkId },
  );
}
