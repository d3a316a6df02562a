import type BetterSqlite3 from 'better-sqlite3';
import type { ReadableDatabase } from './database.ts';

const statements = new WeakMap<ReadableDatabase, Map<string, BetterSqlite3.Statement>>();

/**
 * The statement for this text, compiled once per connection: with a block every 20 ms compiling would cost more than
 * running. Not for `iterate`, which keeps a statement busy.
 */
export function prepared<Parameters extends unknown[], Row = unknown>(
  database: ReadableDatabase,
  sql: string,
): BetterSqlite3.Statement<Parameters, Row> {
  const ofDatabase = statements.get(database) ?? new Map<string, BetterSqlite3.Statement>();
  statements.set(database, ofDatabase);
  const statement = ofDatabase.get(sql) ?? database.prepare(sql);
  ofDatabase.set(sql, statement);
  return statement as BetterSqlite3.Statement<Parameters, Row>;
}
