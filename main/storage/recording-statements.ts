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
  let ofDatabase = statements.get(database);
  if (!ofDatabase) statements.set(database, (ofDatabase = new Map()));
  let statement = ofDatabase.get(sql);
  if (!statement) ofDatabase.set(sql, (statement = database.prepare(sql)));
  return statement as BetterSqlite3.Statement<Parameters, Row>;
}
