import type { PackageTable } from '../../shared-lib/package/package-table.ts';
import { packageTables, sharedRows, tableNamed } from '../../shared-lib/package/package-tables.ts';
import type { StoredValue } from '../../shared-lib/package/write-table.ts';
import { listMerges } from '../storage/contender-repository.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { heldBackTrials } from './held-back-trials.ts';
import { type MergeLeftOut, type MergesLeftOut, mergesLeftOut } from './merges-left-out.ts';
import type { Row } from './read-cells.ts';

/** What a table of the package has that is not here, by the keys of the package. */
export interface TablePlan {
  readonly newKeys: ReadonlySet<string>;
  readonly knownKeys: ReadonlySet<string>;
  /** Of numbered rows: which row here is the one with that number in the package. */
  readonly hereOf: ReadonlyMap<number, number>;
  /** Rows that both have, other in columns that may differ. */
  readonly otherwise: ReadonlySet<string>;
  /** Rows that are here, and that the package would add to and must not: see `whenKnown`. */
  readonly changedHere: ReadonlySet<string>;
  /** Rows that come in without something that belongs to them, since that names a numbered row which does not come in. */
  readonly incomplete: ReadonlySet<string>;
  /** Merges into tools of here that are not taken in: see `mergesLeftOut`. */
  readonly mergesLeftOut: readonly MergeLeftOut[];
  /** Rows of the table it belongs to that something is added to. */
  readonly extended: ReadonlySet<string>;
  /** Of the new ones those that are added to a row that is here, by the keys of the package. */
  readonly addedToKnown: ReadonlySet<string>;
  /** Trials that are not here and do not come in, nor what belongs to them: see `heldBackTrials`. */
  readonly heldBack: ReadonlySet<string>;
}

export interface RowComparison {
  readonly tables: ReadonlyMap<string, TablePlan>;
  readonly conflicts: readonly string[];
}

/**
 * What becomes of rows that belong to a row that is here already. Only the other bench that a row comes from adds to it. `facts` are added
 * then; `decisions` unless others were made here since: the newest counts, and nobody's decision here is overruled from outside. `fixed`
 * must be the same.
 */
export const whenKnown: Readonly<Record<string, 'facts' | 'decisions' | 'fixed'>> = {
  calibration_reading: 'fixed',
  calibration_run_event: 'fixed',
  daily_check: 'facts',
  overload: 'facts',
  rig_ringing: 'facts',
  tool_details: 'decisions',
  tool_merge: 'decisions',
  handling_rating: 'facts',
  run_sheet_event: 'decisions',
  trial_fault: 'fixed',
  calibration_assignment: 'decisions',
  trial_evaluation: 'facts',
  trial_decision: 'decisions',
  trial_annotation: 'decisions',
  relabelling: 'decisions',
  suspicion_decision: 'decisions',
};

const MOST_CONFLICTS = 50;

/** Holds the rows of a staged package against those here; changes nothing. */
export function compareRows(
  staging: ReadableDatabase,
  here: ReadableDatabase,
  benchOfPackage: string,
): RowComparison {
  const tables = new Map<string, TablePlan>();
  const conflicts: string[] = [];
  const tell = (conflict: string): void => {
    if (conflicts.length < MOST_CONFLICTS) conflicts.push(conflict);
  };
  const ownBench = here.prepare<[], string>('SELECT id FROM bench WHERE is_own = 1').pluck().get();
  const origin = here
    .prepare<[string, string], string>(
      'SELECT bench_id FROM imported_row WHERE table_name = ? AND row_key = ?',
    )
    .pluck();
  // Anybody can write this bench's identity into a package: what is one's own is added to here alone.
  const mayAdd = (table: string, key: string): boolean =>
    benchOfPackage !== ownBench && origin.get(table, key) === benchOfPackage;
  for (const table of packageTables) {
    if (table.name === 'origin') continue;
    const comparing = { staging, here, tables, tell, mayAdd };
    tables.set(
      table.name,
      table.isGrowing ? compareGrowing(table, comparing) : compareKeyed(table, comparing),
    );
  }
  return { tables, conflicts };
}

interface Comparing {
  readonly staging: ReadableDatabase;
  readonly here: ReadableDatabase;
  /** Those before it, which it may refer to. */
  readonly tables: ReadonlyMap<string, TablePlan>;
  readonly tell: (conflict: string) => void;
  /** Whether the package comes from the bench that a row of here comes from, and that is another one. */
  readonly mayAdd: (table: string, key: string) => boolean;
}

export function keyOfRow(table: PackageTable, row: Row): string {
  return table.key.map((column) => String(row[column])).join(' ');
}

/** Columns that the database has under that name. */
export function storedColumns(table: PackageTable): readonly string[] {
  const names = table.columns.map(({ name }) => name);
  return table.name === 'trial' ? names.filter((name) => name !== 'slot_count') : names;
}

export function* stagedRows(staging: ReadableDatabase, table: PackageTable): Generator<Row> {
  const order = table.isGrowing ? 'id' : table.order.join(', ');
  yield* staging
    .prepare<[], Row>(`SELECT ${storedColumns(table).join(', ')} FROM ${table.name} ORDER BY ${order}`)
    .iterate();
}

function compareKeyed(table: PackageTable, comparing: Comparing): TablePlan {
  const { staging, here, tables, tell } = comparing;
  const newKeys = new Set<string>();
  const knownKeys = new Set<string>();
  const otherwise = new Set<string>();
  const changedHere = new Set<string>();
  const addedToKnown = new Set<string>();
  const heldBack = new Set<string>();
  const isHeldBack = whetherHeldBack(table, staging, tables);
  const columns = storedColumns(table);
  const find = here.prepare<StoredValue[], Row>(
    `SELECT ${columns.join(', ')} FROM ${table.name} WHERE ${table.key.map((column) => `${column} = ?`).join(' AND ')}`,
  );
  for (const row of stagedRows(staging, table)) {
    const key = keyOfRow(table, row);
    const mapped = withNumbersOfHere(table, row, tables);
    const found = mapped && find.get(...table.key.map((column) => mapped[column] ?? null));
    if (!mapped || !found) {
      if (refersToLeftOut(table, row, tables)) continue;
      if (isHeldBack(key)) {
        heldBack.add(key);
        continue;
      }
      const owner = ownerHere(table, row, mapped, comparing);
      if (owner !== null && !comparing.mayAdd(owner.table, owner.key)) {
        changedHere.add(owner.key);
        continue;
      }
      newKeys.add(key);
      if (owner !== null) addedToKnown.add(key);
      continue;
    }
    knownKeys.add(key);
    for (const column of columns) {
      if (isSame(mapped[column], found[column])) continue;
      if (mayDiffer(table, key, column)) otherwise.add(key);
      else
        tell(
          `${table.name} ${key}: ${column} is ${shown(found[column])} here and ${shown(mapped[column])} in the package.`,
        );
    }
  }
  const noted = { otherwise, changedHere, addedToKnown, heldBack };
  return {
    newKeys,
    knownKeys,
    hereOf: new Map(),
    extended: new Set(),
    incomplete: new Set(),
    mergesLeftOut: [],
    ...noted,
  };
}

function whetherHeldBack(
  { name }: PackageTable,
  staging: ReadableDatabase,
  tables: ReadonlyMap<string, TablePlan>,
): (key: string) => boolean {
  const checks = name === 'trial' ? tables.get('daily_check') : undefined;
  if (checks === undefined) return () => false;
  const heldBack = heldBackTrials(staging, (id) => isLeftOut(checks, id));
  return (key) => heldBack.has(key);
}

function mayDiffer({ name, mutable }: PackageTable, key: string, column: string): boolean {
  if (mutable.includes(column)) return true;
  return column === 'created_at' && (sharedRows[name]?.includes(key) ?? false);
}

/** The row of here that a new one belongs to, with a bench of its own; null: there is none, or it is new itself. */
function ownerHere(
  { belongsTo }: PackageTable,
  row: Row,
  mapped: Row | null,
  { here, tables }: Comparing,
): { readonly table: string; readonly key: string } | null {
  if (belongsTo === null) return null;
  if (belongsTo.table === 'handling_rating') {
    const ratingId = mapped?.[belongsTo.column];
    if (typeof ratingId !== 'number') return null;
    const toolId = here
      .prepare<[number], string>('SELECT tool_id FROM handling_rating WHERE id = ?')
      .pluck()
      .get(ratingId);
    return toolId === undefined ? null : { table: 'tool', key: toolId };
  }
  const key = String(row[belongsTo.column]);
  return tables.get(belongsTo.table)?.knownKeys.has(key) ? { table: belongsTo.table, key } : null;
}

/** With the ids of here instead of the numbers of the package; null where it refers to a row that is new. */
export function withNumbersOfHere(
  table: PackageTable,
  row: Row,
  tables: ReadonlyMap<string, Pick<TablePlan, 'hereOf'>>,
): Row | null {
  const mapped: Record<string, StoredValue> = { ...row };
  for (const { name, refersTo } of table.columns) {
    const value = row[name];
    if (refersTo === null || typeof value !== 'number') continue;
    const hereId = tables.get(refersTo)?.hereOf.get(value);
    if (hereId === undefined) return null;
    mapped[name] = hereId;
  }
  return mapped;
}

function compareGrowing(table: PackageTable, comparing: Comparing): TablePlan {
  const { staging, here, tables } = comparing;
  const { belongsTo } = table;
  if (belongsTo === null) throw new Error(`${table.name} belongs to nothing`);
  const newKeys = new Set<string>();
  const hereOf = new Map<number, number>();
  const changedHere = new Set<string>();
  const incomplete = new Set<string>();
  const extended = new Set<string>();
  const addedToKnown = new Set<string>();
  const merges = table.name === 'tool_merge' ? guardedMerges(comparing) : null;
  const selectHere = here.prepare<[StoredValue], Row>(
    `SELECT ${storedColumns(table).join(', ')} FROM ${table.name} WHERE ${belongsTo.column} = ? ORDER BY id`,
  );
  const parents = tables.get(belongsTo.table);
  const packed = new Map<string, Row[]>();
  for (const row of stagedRows(staging, table)) {
    const parent = String(row[belongsTo.column]);
    if (parents?.heldBack.has(parent) === true) continue;
    const isNew = parents?.newKeys.has(parent) ?? true;
    if (refersToLeftOut(table, row, tables)) {
      (isNew ? incomplete : changedHere).add(parent);
      continue;
    }
    if (!isNew) packed.set(parent, [...(packed.get(parent) ?? []), row]);
    else if (merges?.leavesOut(row) !== true) newKeys.add(String(row['id']));
  }
  // Also those that the package has nothing for: a row that must be the same may be missing there.
  for (const parent of parents?.knownKeys ?? []) {
    const rows = packed.get(parent) ?? [];
    const rest = selectHere
      .all(parent)
      .map((row) => ({ id: Number(row['id']), content: contentOf(table, row) }));
    const added: string[] = [];
    for (const row of rows) {
      const mapped = withNumbersOfHere(table, row, tables);
      const content = mapped && contentOf(table, mapped);
      const at = rest.findIndex((other) => other.content === content);
      const [match] = at === -1 ? [] : rest.splice(at, 1);
      if (match) hereOf.set(Number(row['id']), match.id);
      else if (merges?.leavesOut(row) !== true) added.push(String(row['id']));
    }
    judge(parent, added, rest.length);
  }
  const leftOut = merges?.inForce() ?? [];
  for (const { guardedId } of leftOut) changedHere.add(guardedId);

  function judge(parent: string, added: readonly string[], onlyHere: number): void {
    const rule = whenKnown[table.name];
    if (rule === 'fixed' && (added.length > 0 || onlyHere > 0)) {
      comparing.tell(
        `${belongsTo?.table} ${parent}: ${table.name} has ${added.length} rows in the package that are not here, and ${onlyHere} here that are not in the package.`,
      );
      return;
    }
    if (added.length === 0) return;
    if (
      !comparing.mayAdd(belongsTo?.table ?? '', parent) ||
      (rule === 'decisions' && onlyHere > 0) ||
      restsOnAnother(table, parent, tables)
    ) {
      changedHere.add(parent);
      return;
    }
    extended.add(parent);
    for (const key of added) {
      newKeys.add(key);
      addedToKnown.add(key);
    }
  }

  return {
    newKeys,
    knownKeys: new Set(),
    otherwise: new Set(),
    hereOf,
    changedHere,
    incomplete,
    mergesLeftOut: leftOut,
    extended,
    addedToKnown,
    heldBack: new Set(),
  };
}

/** What was merged here is followed: a package cannot reach a tool by way of one that a person merged into it. */
function guardedMerges({ here, tables, mayAdd }: Comparing): MergesLeftOut {
  const merges = listMerges(here);
  const known = tables.get('tool')?.knownKeys;
  return mergesLeftOut((intoToolId) => {
    let toolId = known?.has(intoToolId) === true ? intoToolId : undefined;
    // No ring can be stored; counting makes that no matter of trust.
    for (let step = 0; toolId !== undefined && step <= merges.size; step += 1) {
      if (!mayAdd('tool', toolId)) return toolId;
      toolId = merges.get(toolId);
    }
    return null;
  });
}

/** Whether a row names a numbered row, such as a check, that was not taken in. */
function refersToLeftOut(table: PackageTable, row: Row, tables: ReadonlyMap<string, TablePlan>): boolean {
  return table.columns.some(({ name, refersTo }) => {
    const value = row[name];
    if (refersTo === null || typeof value !== 'number') return false;
    const plan = tables.get(refersTo);
    return plan !== undefined && isLeftOut(plan, value);
  });
}

/** Of a numbered row, by its number in the package. */
function isLeftOut({ hereOf, newKeys }: TablePlan, id: number): boolean {
  return !hereOf.has(id) && !newKeys.has(String(id));
}

/** Figures by a calibration that was not taken over for the trial would be read as its newest. */
function restsOnAnother(
  table: PackageTable,
  parent: string,
  tables: ReadonlyMap<string, TablePlan>,
): boolean {
  if (table.name !== 'trial_evaluation') return false;
  return tables.get('calibration_assignment')?.changedHere.has(parent) ?? false;
}

/** All that a row says, whatever its number. */
function contentOf(table: PackageTable, row: Row): string {
  return JSON.stringify(
    storedColumns(table).flatMap((name) => {
      if (name === 'id') return [];
      const value = row[name] ?? null;
      return [value instanceof Uint8Array ? Buffer.from(value).toString('base64') : value];
    }),
  );
}

function isSame(one: StoredValue | undefined, other: StoredValue | undefined): boolean {
  if (one instanceof Uint8Array && other instanceof Uint8Array) return Buffer.compare(one, other) === 0;
  return one === other;
}

function shown(value: StoredValue | undefined): string {
  const text = value instanceof Uint8Array ? `${value.length} bytes` : JSON.stringify(value ?? null);
  return text.length > 60 ? `${text.slice(0, 60)}…` : text;
}

export function planOf(comparison: RowComparison, table: string): TablePlan {
  const plan = comparison.tables.get(tableNamed(table).name);
  if (plan) return plan;
  throw new Error(`${table} was not compared`);
}
