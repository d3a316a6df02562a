import { type ReadableDatabase, reading, type WritableDatabase, writing } from '../storage/database.ts';

export interface StoredSyncMark {
  readonly id: string;
  readonly at: string;
  readonly monotonicUs: number;
  readonly sessionId: string | null;
}

/** A trial whose recording has ended, as far as its onset is concerned. */
export interface TrialOfSession {
  readonly trialId: string;
  readonly toolName: string;
  readonly startedAt: string;
  /** From the record's first slot. */
  readonly onsetSlot: number;
  readonly nominalRateHz: number;
}

const MOST_MARKS = 60;

export function insertSyncMark(database: WritableDatabase, mark: StoredSyncMark): void {
  writing(database, () => {
    database
      .prepare(
        'INSERT INTO sync_mark (id, at, monotonic_us, session_id) VALUES (@id, @at, @monotonicUs, @sessionId)',
      )
      .run(mark);
  });
}

/** Newest first. */
export function listStoredMarks(database: ReadableDatabase): StoredSyncMark[] {
  return reading(() =>
    database
      .prepare<[number], StoredSyncMark>(
        `SELECT id, at, monotonic_us AS monotonicUs, session_id AS sessionId FROM sync_mark
         ORDER BY at DESC, id LIMIT ?`,
      )
      .all(MOST_MARKS),
  );
}

/** In the order in which they were pulled. */
export function trialsOfSession(database: ReadableDatabase, sessionId: string): TrialOfSession[] {
  return reading(() =>
    database
      .prepare<[string], TrialOfSession>(
        `SELECT id AS trialId, shown_tool_name AS toolName, started_at AS startedAt, onset_slot AS onsetSlot,
           json_extract(profile_json, '$.nominalRateHz') AS nominalRateHz
         FROM trial WHERE session_id = ? AND state <> 'recording' ORDER BY started_at, id`,
      )
      .all(sessionId),
  );
}

/** The first session that began after an instant; null: none did. */
export function sessionAfter(database: ReadableDatabase, at: string): string | null {
  return reading(
    () =>
      database
        .prepare<[string], string>(
          'SELECT id FROM session WHERE started_at > ? ORDER BY started_at, id LIMIT 1',
        )
        .pluck()
        .get(at) ?? null,
  );
}
