import { randomUUID } from 'node:crypto';
import type { Bench } from '../../shared-lib/exchange/exchange-requests.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';

export type NamedBench = Pick<Bench, 'id' | 'name'>;

/** This bench among all that trials come from; made, with a number for a name, where it has none yet. */
export function ownBench(database: WritableDatabase, suggestedName = 'Bench 1'): NamedBench {
  return writing(database, () => {
    const known = database.prepare<[], NamedBench>('SELECT id, name FROM bench WHERE is_own = 1').get();
    if (known !== undefined) return known;
    const made = { id: randomUUID(), name: suggestedName };
    database.prepare('INSERT INTO bench (id, name, is_own) VALUES (?, ?, 1)').run(made.id, made.name);
    return made;
  });
}

/** The name that one's own bench has in packages and reports. */
export function nameOwnBench(database: WritableDatabase, name: string): void {
  writing(database, () => {
    const { id } = ownBench(database);
    database.prepare('UPDATE bench SET name = ? WHERE id = ?').run(name, id);
  });
}

/** One's own first, where it was made, then those that something was taken in from. */
export function listBenches(database: ReadableDatabase): Bench[] {
  return reading(() =>
    database
      .prepare<[], { id: string; name: string; isOwn: number; trialCount: number }>(
        `SELECT id, name, is_own AS isOwn,
           CASE WHEN is_own = 1
             THEN (SELECT count(*) FROM trial WHERE NOT EXISTS (
               SELECT 1 FROM imported_row WHERE table_name = 'trial' AND row_key = trial.id AND bench_id <> bench.id))
             ELSE (SELECT count(*) FROM imported_row WHERE table_name = 'trial' AND bench_id = bench.id)
           END AS trialCount
         FROM bench ORDER BY is_own DESC, name, id`,
      )
      .all()
      .map(({ isOwn, ...bench }) => ({ ...bench, isOwn: isOwn === 1 })),
  );
}

/** On which bench a trial was pulled. Null where this one has no name yet, and the trial is its own. */
export function benchOfTrial(database: ReadableDatabase, trialId: string): Omit<Bench, 'trialCount'> | null {
  return reading(() => {
    const found = database
      .prepare<[string], { id: string; name: string; isOwn: number }>(
        `SELECT id, name, is_own AS isOwn FROM bench
         WHERE id = coalesce(
           (SELECT bench_id FROM imported_row WHERE table_name = 'trial' AND row_key = ?),
           (SELECT id FROM bench WHERE is_own = 1))`,
      )
      .get(trialId);
    return found === undefined ? null : { id: found.id, name: found.name, isOwn: found.isOwn === 1 };
  });
}

/** Keys of rows of a table that came from another bench: nothing here is measured with them. */
export function foreignKeys(
  database: ReadableDatabase,
  table: 'transducer' | 'calibration',
): ReadonlySet<string> {
  return reading(
    () =>
      new Set(
        database
          .prepare<[string], string>(
            `SELECT row_key FROM imported_row JOIN bench ON bench.id = bench_id AND is_own = 0 WHERE table_name = ?`,
          )
          .pluck()
          .all(table),
      ),
  );
}
