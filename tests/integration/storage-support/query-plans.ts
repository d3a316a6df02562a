import type { WritableDatabase } from '../../../main/storage/database.ts';

/** Runs some queries and tells how SQLite goes about each statement that they really prepare. */
export function plansOf(
  database: WritableDatabase,
  work: (watched: WritableDatabase) => unknown,
): string[][] {
  const statements: string[] = [];
  const watched = new Proxy(database, {
    get: (target, property) =>
      property === 'prepare'
        ? (sql: string) => {
            statements.push(sql);
            return target.prepare(sql);
          }
        : (Reflect.get(target, property) as unknown),
  });
  work(watched);
  return statements.map((sql) =>
    database
      .prepare<unknown[], { detail: string }>(`EXPLAIN QUERY PLAN ${sql}`)
      .all(...Array.from({ length: sql.split('?').length - 1 }, () => 1))
      .map(({ detail }) => detail),
  );
}
