import BetterSqlite3 from 'better-sqlite3';

export type Row = Readonly<Record<string, unknown>>;

/** A table as it is copied: its stored columns, and by what its rows are told apart. */
export interface TableShape {
  readonly name: string;
  /** Without those that SQLite computes. */
  readonly columns: readonly string[];
  /** Null: rows are numbered by SQLite. */
  readonly keyColumns: readonly string[] | null;
}

export interface KnownRow {
  readonly rowid: number;
  /** As the index has it, such as `trial_id trial-7, first_slot 1200`. */
  readonly key: string;
}

/** Reads that failed: behind a page that is gone every number has to be tried, which has to end somewhere. */
const MOST_FAILED_READS = 50_000;
/** Where not even the last row can be read and no index tells it. */
const HIGHEST_ROWID = 2 ** 31;

export function quoted(name: string): string {
  return `"${name.replaceAll('"', '""')}"`;
}

export function isDamage(error: unknown): boolean {
  return (
    error instanceof BetterSqlite3.SqliteError && /^SQLITE_(CORRUPT|NOTADB|IOERR|ERROR)/.test(error.code)
  );
}

/**
 * Hands over every row of a table that can still be read, each once, past pages that cannot.
 *
 * Returns whether it came to both ends: false means that some places were not even looked at.
 */
export function forEachReadableRow(
  source: BetterSqlite3.Database,
  table: TableShape,
  known: readonly KnownRow[] | null,
  take: (row: Row, rowid: number | null) => void,
): boolean {
  return table.keyColumns === null
    ? readByNumber(source, table, known, take)
    : readFromBothEnds(source, table, table.keyColumns, take);
}

function readByNumber(
  source: BetterSqlite3.Database,
  table: TableShape,
  known: readonly KnownRow[] | null,
  take: (row: Row, rowid: number | null) => void,
): boolean {
  const columns = ['rowid AS "rowid "', ...table.columns.map(quoted)].join(', ');
  const select = (order: 'ASC' | 'DESC') =>
    // An index would be read in the place of the table, and may be the damaged part.
    source.prepare<[number, number], Row>(
      `SELECT ${columns} FROM ${quoted(table.name)} NOT INDEXED WHERE rowid BETWEEN ? AND ? ORDER BY rowid ${order}`,
    );
  const upwards = select('ASC');
  const downwards = select('DESC');
  let failedReads = 0;

  /** The last row that could be read, and whether it was the last there is. */
  const readOn = (statement: typeof upwards, from: number, to: number) => {
    let last: number | null = null;
    try {
      for (const { 'rowid ': rowid, ...row } of statement.iterate(from, to)) {
        last = Number(rowid);
        take(row, last);
      }
      return { last, isWhole: true };
    } catch (error) {
      if (!isDamage(error)) throw error;
      failedReads += 1;
      return { last, isWhole: false };
    }
  };

  const read = (from: number, to: number): boolean => {
    if (failedReads >= MOST_FAILED_READS) return false;
    const up = readOn(upwards, from, to);
    if (up.isWhole || from === to) return true;
    const low = (up.last ?? from - 1) + 1;
    const down = readOn(downwards, low, to);
    const high = (down.last ?? to + 1) - 1;
    if (low >= high) return true;
    if (known) {
      for (const { rowid } of known) if (rowid >= low && rowid <= high) readOn(upwards, rowid, rowid);
      return true;
    }
    const middle = Math.floor((low + high) / 2);
    const isLowerDone = read(low, middle);
    return read(middle + 1, high) && isLowerDone;
  };

  return read(1, known ? Number.MAX_SAFE_INTEGER : lastRowid(source, table.name));
}

function lastRowid(source: BetterSqlite3.Database, table: string): number {
  try {
    return (
      source
        .prepare<[], number | null>(`SELECT max(rowid) FROM ${quoted(table)}`)
        .pluck()
        .get() ?? 1
    );
  } catch (error) {
    if (!isDamage(error)) throw error;
    return HIGHEST_ROWID;
  }
}

/** Keys are no numbers that could be tried: what lies between two damaged pages stays unread. */
function readFromBothEnds(
  source: BetterSqlite3.Database,
  table: TableShape,
  keyColumns: readonly string[],
  take: (row: Row, rowid: number | null) => void,
): boolean {
  const columns = table.columns.map(quoted).join(', ');
  const readAll = (order: 'ASC' | 'DESC'): boolean => {
    const keys = keyColumns.map((column) => `${quoted(column)} ${order}`).join(', ');
    const rows = source.prepare<[], Row>(`SELECT ${columns} FROM ${quoted(table.name)} ORDER BY ${keys}`);
    try {
      for (const row of rows.iterate()) take(row, null);
      return true;
    } catch (error) {
      if (!isDamage(error)) throw error;
      return false;
    }
  };
  if (readAll('ASC')) return true;
  readAll('DESC');
  return false;
}

/**
 * The rows that an index knows of, so that those which the table has lost can be named; null where no index can be read
 * to its end.
 */
export function rowsByIndex(source: BetterSqlite3.Database, table: TableShape): readonly KnownRow[] | null {
  if (table.keyColumns !== null) return null;
  const indices = source.pragma(`index_list(${quoted(table.name)})`) as readonly {
    readonly name: string;
    readonly unique: number;
    readonly partial: number;
  }[];
  // One that tells rows apart names them best.
  const candidates = indices
    .filter(({ partial }) => partial === 0)
    .sort((one, other) => other.unique - one.unique);
  for (const { name } of candidates) {
    const known = rowsOf(source, table.name, name);
    if (known) return known;
  }
  return null;
}

function rowsOf(source: BetterSqlite3.Database, table: string, index: string): readonly KnownRow[] | null {
  try {
    const named = source.pragma(`index_info(${quoted(index)})`) as readonly { readonly name: string }[];
    const columns = named.slice(0, 3).map(({ name }) => name);
    const select = source.prepare<[], Row>(
      `SELECT rowid AS "rowid ", ${columns.map(quoted).join(', ')} FROM ${quoted(table)} INDEXED BY ${quoted(index)} ORDER BY ${columns.map(quoted).join(', ')}`,
    );
    return select.all().map((row) => ({
      rowid: Number(row['rowid ']),
      key: columns.map((column) => `${column} ${String(row[column])}`).join(', '),
    }));
  } catch (error) {
    if (!isDamage(error)) throw error;
    return null;
  }
}
