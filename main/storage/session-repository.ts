import type { RequestParams, RequestResult } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import {
  type SessionConditions,
  sessionConditionsSchema,
  type SessionSummary,
  sessionSummarySchema,
} from '../../shared-lib/run-sheet/session-model.ts';
import type { Step } from '../../shared-lib/trial/step-model.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';

/** One sitting at the bench with one transducer. */
export interface Session {
  readonly id: string;
  readonly transducerId: string;
  readonly startedAt: string;
  readonly operator: string;
  readonly safetyConfirmedAt: string | null;
}

/** Steps of the same kind and direction share an onset level, whatever their time. */
export type StepLevelKey = Pick<Step, 'kind' | 'direction'>;

export interface StepLevel {
  readonly onsetLevelNm: number;
  readonly noiseNm: number;
}

export function createSession(
  database: WritableDatabase,
  { id, transducerId, startedAt, operator }: Omit<Session, 'safetyConfirmedAt'>,
): void {
  writing(database, () => {
    database
      .prepare('INSERT INTO session (id, transducer_id, started_at, operator) VALUES (?, ?, ?, ?)')
      .run(id, transducerId, startedAt, operator);
  });
}

export function getSession(database: ReadableDatabase, id: string): Session {
  return reading(() => {
    const session = database
      .prepare<[string], Session>(
        `SELECT id, transducer_id AS transducerId, started_at AS startedAt, operator,
           safety_confirmed_at AS safetyConfirmedAt
         FROM session WHERE id = ?`,
      )
      .get(id);
    if (!session) throw new Error(`There is no session ${id}`);
    return session;
  });
}

/** Once a session: the first confirmation stays. */
export function confirmSafety(database: WritableDatabase, sessionId: string, at: string): void {
  writing(database, () => {
    database
      .prepare('UPDATE session SET safety_confirmed_at = ? WHERE id = ? AND safety_confirmed_at IS NULL')
      .run(at, sessionId);
  });
}

/** It is over: from now on nothing of it changes. */
export function endSession(database: WritableDatabase, sessionId: string, at: string): void {
  writing(database, () => {
    database.prepare('UPDATE session SET ended_at = ? WHERE id = ?').run(at, sessionId);
  });
}

const conditionColumns = {
  rigNote: 'rig_note',
  ambientC: 'ambient_c',
  relativeHumidityPercent: 'relative_humidity_percent',
  airPressureHpa: 'air_pressure_hpa',
} as const satisfies Record<keyof SessionConditions, string>;

const selectConditions = Object.entries(conditionColumns)
  .map(([name, column]) => `${column} AS ${name}`)
  .join(', ');

/** Errors: AppError 'session-not-found'. */
export function getSessionConditions(database: ReadableDatabase, sessionId: string): SessionConditions {
  return reading(() => {
    const row = database
      .prepare<[string]>(`SELECT ${selectConditions} FROM session WHERE id = ?`)
      .get(sessionId);
    if (row === undefined) throw sessionNotFound(sessionId);
    return sessionConditionsSchema.parse(row);
  });
}

/** What is given changes, what is left out stays. Errors: AppError 'session-not-found'. */
export function updateSessionConditions(
  database: WritableDatabase,
  sessionId: string,
  changes: RequestParams<'updateSession'>,
): SessionConditions {
  return writing(database, () => {
    const next = sessionConditionsSchema.parse({ ...getSessionConditions(database, sessionId), ...changes });
    database
      .prepare(
        `UPDATE session SET rig_note = @rigNote, ambient_c = @ambientC,
           relative_humidity_percent = @relativeHumidityPercent, air_pressure_hpa = @airPressureHpa WHERE id = @id`,
      )
      .run({ ...next, id: sessionId });
    return next;
  });
}

const selectSummaries = `
SELECT session.id, session.started_at AS startedAt, ended_at AS endedAt, operator, transducer.name AS transducerName,
  is_simulated,
  (SELECT count(*) FROM trial WHERE session_id = session.id) AS trialCount,
  (SELECT count(*) FROM trial WHERE session_id = session.id AND state = 'kept' AND is_voided = 0) AS keptCount,
  (SELECT count(*) FROM trial WHERE session_id = session.id AND is_voided = 1) AS voidedCount,
  (SELECT count(*) FROM trial WHERE session_id = session.id AND state = 'interrupted' AND is_voided = 0)
    AS interruptedCount
FROM session JOIN transducer ON transducer.id = transducer_id`;

interface SessionRow extends Omit<SessionSummary, 'isSimulated'> {
  is_simulated: number;
}

/** A page of them, newest first. */
export function listSessions(
  database: ReadableDatabase,
  { offset, limit }: RequestParams<'listSessions'>,
): RequestResult<'listSessions'> {
  return reading(() => ({
    total: Number(database.prepare('SELECT count(*) FROM session').pluck().get()),
    sessions: database
      .prepare<[number, number], SessionRow>(
        `${selectSummaries} ORDER BY session.started_at DESC, session.id DESC LIMIT ? OFFSET ?`,
      )
      .all(limit, offset)
      .map(toSummary),
  }));
}

/** Errors: AppError 'session-not-found'. */
export function getSessionSummary(database: ReadableDatabase, sessionId: string): SessionSummary {
  return reading(() => {
    const row = database
      .prepare<[string], SessionRow>(`${selectSummaries} WHERE session.id = ?`)
      .get(sessionId);
    if (row === undefined) throw sessionNotFound(sessionId);
    return toSummary(row);
  });
}

function toSummary({ is_simulated, ...row }: SessionRow): SessionSummary {
  return sessionSummarySchema.parse({ ...row, isSimulated: is_simulated === 1 });
}

function sessionNotFound(sessionId: string): AppError {
  return new AppError(
    'session-not-found',
    'There is no such session here. Nothing was changed. Choose one from the list of sessions.',
    { sessionId },
  );
}

/** Trials that are kept and not voided, and trials that are voided. */
export function countSessionTrials(
  database: ReadableDatabase,
  sessionId: string,
): { readonly keptCount: number; readonly voidedCount: number } {
  return reading(() => {
    const counts = database
      .prepare<[string], { keptCount: number; voidedCount: number }>(
        `SELECT count(*) FILTER (WHERE state = 'kept' AND is_voided = 0) AS keptCount,
           count(*) FILTER (WHERE is_voided = 1) AS voidedCount
         FROM trial WHERE session_id = ?`,
      )
      .get(sessionId);
    return counts ?? { keptCount: 0, voidedCount: 0 };
  });
}

export function getStepLevel(
  database: ReadableDatabase,
  sessionId: string,
  { kind, direction }: StepLevelKey,
): StepLevel | null {
  return reading(() => {
    const level = database
      .prepare<[string, string, string], StepLevel>(
        `SELECT onset_level_nm AS onsetLevelNm, noise_nm AS noiseNm FROM session_step_level
         WHERE session_id = ? AND kind = ? AND direction = ?`,
      )
      .get(sessionId, kind, direction);
    return level ?? null;
  });
}

/** Fixes the level at the first arming and returns the one that holds: a later call changes nothing. */
export function fixStepLevel(
  database: WritableDatabase,
  sessionId: string,
  key: StepLevelKey,
  level: StepLevel,
): StepLevel {
  return writing(database, () => {
    database
      .prepare(
        `INSERT INTO session_step_level (session_id, kind, direction, onset_level_nm, noise_nm)
         VALUES (?, ?, ?, ?, ?) ON CONFLICT DO NOTHING`,
      )
      .run(sessionId, key.kind, key.direction, level.onsetLevelNm, level.noiseNm);
    return getStepLevel(database, sessionId, key) ?? level;
  });
}
