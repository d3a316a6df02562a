import type BetterSqlite3 from 'better-sqlite3';
import { quoted, type Row } from './readable-rows.ts';

export type PutAside = (table: string, row: Row, why: string) => void;

interface Reference {
  readonly table: string;
  readonly parent: string;
  /** Columns of the table, and of its parent, in pairs. */
  readonly pairs: readonly (readonly [string, string])[];
  /** Of the table's columns those that may be empty and are no part of its key. */
  readonly optional: readonly string[];
}

/**
 * What names a row that was lost: the name is emptied where it may be, else the row itself is put aside, since the program
 * takes no database in which a row points nowhere. Goes on until nothing points nowhere; foreign keys are off.
 *
 * Returns a sentence for each reference that was emptied.
 */
export function putAsideOrphans(database: BetterSqlite3.Database, putAside: PutAside): string[] {
  const references = referencesOf(database);
  const emptied: string[] = [];
  for (;;) {
    let changes = 0;
    for (const reference of references) changes += settle(database, reference, putAside, emptied);
    if (changes === 0) return emptied;
  }
}

function settle(
  database: BetterSqlite3.Database,
  { table, parent, pairs, optional }: Reference,
  putAside: PutAside,
  emptied: string[],
): number {
  const isNamed = pairs.map(([from]) => `${quoted(table)}.${quoted(from)} IS NOT NULL`).join(' AND ');
  const isSame = pairs
    .map(([from, to]) => `parent.${quoted(to)} = ${quoted(table)}.${quoted(from)}`)
    .join(' AND ');
  const pointsNowhere = `${isNamed} AND NOT EXISTS (SELECT 1 FROM ${quoted(parent)} AS parent WHERE ${isSame})`;
  const columns = pairs.map(([from]) => from).join(', ');
  if (optional.length > 0) {
    const emptying = optional.map((column) => `${quoted(column)} = NULL`).join(', ');
    const { changes } = database
      .prepare(`UPDATE ${quoted(table)} SET ${emptying} WHERE ${pointsNowhere}`)
      .run();
    if (changes > 0) {
      emptied.push(
        `${changes} of ${table} named a row of ${parent} that was lost; ${columns} is empty there.`,
      );
    }
    return changes;
  }
  const rows = database.prepare<[], Row>(`SELECT * FROM ${quoted(table)} WHERE ${pointsNowhere}`).all();
  if (rows.length === 0) return 0;
  for (const row of rows) putAside(table, row, `It names a row of ${parent} that was lost (${columns}).`);
  database.prepare(`DELETE FROM ${quoted(table)} WHERE ${pointsNowhere}`).run();
  return rows.length;
}

function referencesOf(database: BetterSqlite3.Database): Reference[] {
  const tables = database
    .prepare<[], string>(`SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'`)
    .pluck()
    .all();
  return tables.flatMap((table) => {
    const columns = database.pragma(`table_xinfo(${quoted(table)})`) as readonly {
      readonly name: string;
      readonly notnull: number;
      readonly pk: number;
    }[];
    const isOptional = (name: string): boolean =>
      columns.some((column) => column.name === name && column.notnull === 0 && column.pk === 0);
    const keys = database.pragma(`foreign_key_list(${quoted(table)})`) as readonly {
      readonly id: number;
      readonly table: string;
      readonly from: string;
      readonly to: string;
    }[];
    return [...Map.groupBy(keys, ({ id }) => id).values()].map((parts) => ({
      table,
      parent: parts[0]?.table ?? '',
      pairs: parts.map(({ from, to }) => [from, to] as const),
      optional: parts.map(({ from }) => from).filter(isOptional),
    }));
  });
}
