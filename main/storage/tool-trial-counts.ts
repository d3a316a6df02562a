import { type ReadableDatabase, reading } from './database.ts';

export interface TrialCount {
  /** Null: pulled without a setup, under a name only. */
  readonly setupId: string | null;
  readonly toolNameFolded: string;
  readonly count: number;
}

/** Trials that have ended, as they are labelled now; from the index alone. */
export function countTrials(database: ReadableDatabase): TrialCount[] {
  return reading(() =>
    database
      .prepare<[], TrialCount>(
        `SELECT shown_setup_id AS setupId, shown_tool_name_folded AS toolNameFolded, count(*) AS count
         FROM trial INDEXED BY trial_by_start WHERE state <> 'recording'
         GROUP BY shown_setup_id, shown_tool_name_folded`,
      )
      .all(),
  );
}
