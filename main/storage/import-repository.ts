import { type Import, importSchema } from '../../shared-lib/exchange/exchange-requests.ts';
import { type ReadableDatabase, reading } from './database.ts';

/** What was taken in, the newest first. */
export function listImports(database: ReadableDatabase): Import[] {
  return reading(() =>
    database
      .prepare<[]>(
        `SELECT import.id, at, operator, kind, file_name AS fileName, fingerprint, bench.name AS benchName,
           (SELECT count(*) FROM imported_row WHERE import_id = import.id AND table_name = 'trial') AS trialCount
         FROM import JOIN bench ON bench.id = bench_id ORDER BY at DESC, import.id DESC`,
      )
      .all()
      .map((row) => importSchema.parse(row)),
  );
}

export interface StoredImport {
  readonly newTrialCount: number;
  /** One that it brought, else any that is here; null: there is none. */
  readonly oneTrialId: string | null;
}

/** What is stored of one import; null where nothing of it is. */
export function findImport(database: ReadableDatabase, importId: string): StoredImport | null {
  return reading(
    () =>
      database
        .prepare<[string], StoredImport>(
          `SELECT (SELECT count(*) FROM imported_row WHERE import_id = import.id AND table_name = 'trial') AS newTrialCount,
             coalesce((SELECT row_key FROM imported_row WHERE import_id = import.id AND table_name = 'trial' LIMIT 1),
               (SELECT id FROM trial LIMIT 1)) AS oneTrialId
           FROM import WHERE id = ?`,
        )
        .get(importId) ?? null,
  );
}
