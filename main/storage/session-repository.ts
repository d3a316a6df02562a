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
