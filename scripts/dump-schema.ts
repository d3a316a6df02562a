import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { ReadableDatabase } from '../main/storage/database.ts';
import { openDatabase } from '../main/storage/open-database.ts';

/** The schema as SQL, in the order in which it was made. */
export function dumpSchema(database: ReadableDatabase): string {
  const statements = database
    .prepare<[], string>(`SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY rowid`)
    .pluck()
    .all();
  return statements.map((sql) => `${sql};\n`).join('\n');
}

/** `npx node scripts/dump-schema.ts` writes the schema of a new database to tests/golden/schema.sql, for review. */
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const folder = mkdtempSync(join(tmpdir(), 'proofarm-schema-'));
  const database = openDatabase({
    filePath: join(folder, 'proofarm.sqlite'),
    backupFolder: folder,
    now: () => new Date(),
    log: { info: console.log, warn: console.warn },
  });
  writeFileSync(new URL('../tests/golden/schema.sql', import.meta.url), dumpSchema(database));
  database.close();
  rmSync(folder, { recursive: true });
}
