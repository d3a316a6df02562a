import { type ReadableDatabase, reading } from '../storage/database.ts';

export interface Origin {
  readonly id: string;
  readonly name: string;
}

/** The bench of each trial that was taken in from another one, by trial. */
export function listOrigins(database: ReadableDatabase): ReadonlyMap<string, Origin> {
  const rows = reading(() =>
    database
      .prepare<[], Origin & { trialId: string }>(
        `SELECT row_key AS trialId, bench.id, bench.name FROM imported_row JOIN bench ON bench.id = bench_id
         WHERE table_name = 'trial'`,
      )
      .all(),
  );
  return new Map(rows.map(({ trialId, id, name }) => [trialId, { id, name }]));
}
