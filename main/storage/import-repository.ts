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
