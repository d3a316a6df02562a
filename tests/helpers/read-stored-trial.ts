import { join } from 'node:path';
import Database from 'better-sqlite3';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import type { ReadableDatabase } from '../../main/storage/database.ts';
import { readRecording, type Recording } from '../../main/storage/recording-repository.ts';
import { getTrial } from '../../main/storage/trial-repository.ts';

export interface StoredTrial {
  readonly record: TrialRecord;
  readonly recording: Recording;
}

/** What the file says of the trials, the oldest first, whether or not the program still runs; reads only. */
export function readStoredTrials(dataFolder: string): StoredTrial[] {
  const database = new Database(join(dataFolder, 'proofarm.db'), {
    readonly: true,
    fileMustExist: true,
  }) as unknown as ReadableDatabase;
  try {
    const ids = database.prepare<[], string>('SELECT id FROM trial ORDER BY started_at, id').pluck().all();
    return ids.map((id) => ({ record: getTrial(database, id), recording: readRecording(database, id) }));
  } finally {
    database.close();
  }
}
