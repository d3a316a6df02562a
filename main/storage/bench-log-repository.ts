import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';

export interface BenchLogEntry {
  readonly at: string;
  /** What sort of thing happened, such as 'abortBeforeOnset'. */
  readonly kind: string;
  readonly text: string;
}

export function appendToBenchLog(database: WritableDatabase, { at, kind, text }: BenchLogEntry): void {
  writing(database, () => {
    database.prepare('INSERT INTO bench_log (at, kind, text) VALUES (?, ?, ?)').run(at, kind, text);
  });
}

/** Newest first. */
export function listBenchLog(database: ReadableDatabase, limit: number): BenchLogEntry[] {
  return reading(() =>
    database
      .prepare<[number], BenchLogEntry>(
        'SELECT at, kind, text FROM bench_log ORDER BY at DESC, id DESC LIMIT ?',
      )
      .all(limit),
  );
}
