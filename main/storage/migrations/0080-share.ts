import type BetterSqlite3 from 'better-sqlite3';

/** Whose bench a trial was pulled on, what was taken in from others, and marks that tie a camera to the curves. */
export function shareTrials(database: BetterSqlite3.Database): void {
  database.exec(`
CREATE TABLE bench (
  -- One's own is made with the first package or backup; the others come with what is imported.
  id TEXT PRIMARY KEY,
  name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 80),
  is_own INTEGER NOT NULL CHECK (is_own IN (0, 1))
) STRICT;
CREATE UNIQUE INDEX one_own_bench ON bench (is_own) WHERE is_own = 1;

CREATE TABLE import (
  id TEXT PRIMARY KEY,
  at TEXT NOT NULL,
  operator TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('package', 'curves')),
  file_name TEXT NOT NULL,
  -- SHA-256 of a package's datapackage.json, or of a file of curves.
  fingerprint TEXT NOT NULL,
  bench_id TEXT NOT NULL REFERENCES bench (id),
  -- What the package said of itself, or how the columns were read.
  details_json TEXT NOT NULL CHECK (json_valid(details_json))
) STRICT;
CREATE INDEX import_by_time ON import (at DESC, id);

CREATE TABLE imported_row (
  -- Which rows came from elsewhere: the name of their table and their key. What was made here has none.
  table_name TEXT NOT NULL,
  row_key TEXT NOT NULL,
  bench_id TEXT NOT NULL REFERENCES bench (id),
  import_id TEXT NOT NULL REFERENCES import (id),
  PRIMARY KEY (table_name, row_key)
) STRICT, WITHOUT ROWID;

CREATE TABLE sync_mark (
  id TEXT PRIMARY KEY,
  at TEXT NOT NULL,
  -- The clock that samples are timed by; it starts anew with the machine.
  monotonic_us REAL NOT NULL,
  session_id TEXT REFERENCES session (id)
) STRICT;
CREATE INDEX sync_mark_by_time ON sync_mark (at DESC, id);
`);
  for (const table of ['import', 'imported_row', 'sync_mark']) {
    for (const [change, words] of [
      ['UPDATE', 'edited'],
      ['DELETE', 'deleted'],
    ] as const) {
      database.exec(`
CREATE TRIGGER ${table}_is_never_${words} BEFORE ${change} ON ${table}
BEGIN
  SELECT RAISE(ABORT, '${table} only grows');
END;`);
    }
  }
}
