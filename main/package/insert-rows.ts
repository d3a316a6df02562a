import type { PackageTable } from '../../shared-lib/package/package-table.ts';
import {
  packageTables,
  sharedRows,
  tableNamed,
  tablesWithOrigin,
} from '../../shared-lib/package/package-tables.ts';
import type { ReadableDatabase, WritableDatabase } from '../storage/database.ts';
import type { RawBlockColumns } from '../storage/block-codec.ts';
import { insertRawBlock } from '../storage/recording-repository.ts';
import { prepared } from '../storage/recording-statements.ts';
import { refreshListing } from '../storage/trial-listing.ts';
import type { PackageComparison } from './compare-package.ts';
import { keyOfRow, planOf, stagedRows, withNumbersOfHere } from './compare-rows.ts';
import { withDerived } from './derived-columns.ts';
import type { Row } from './read-cells.ts';
import { insertRow } from './stage-tables.ts';

export interface Taking {
  readonly staging: ReadableDatabase;
  readonly here: WritableDatabase;
  readonly compared: PackageComparison;
  readonly at: string;
  readonly importId: string;
  /** Bench of a row that the package names none for. */
  readonly benchId: string;
  /** Lets a cancellation be heard. */
  readonly pause: () => Promise<void>;
}

const ROWS_BETWEEN_PAUSES = 500;

/** Everything that is new, within the transaction that is open. */
export async function insertRows(taking: Taking): Promise<void> {
  const hereOf = new Map<string, { readonly hereOf: Map<number, number> }>(
    packageTables
      .filter(({ isGrowing }) => isGrowing)
      .map(({ name }) => [name, { hereOf: new Map(planOf(taking.compared, name).hereOf) }]),
  );
  for (const table of packageTables) {
    // Benches came in with the row of the import, origins come last.
    if (table.name === 'origin' || table.name === 'bench') continue;
    if (table.name === 'calibration_run') await insertRuns(taking, hereOf);
    else if (!table.name.startsWith('calibration_r')) await insertTable(taking, table, hereOf);
  }
  await insertSamples(taking);
  await listTrials(taking);
  insertOrigins(taking);
}

type NumbersHere = ReadonlyMap<string, { readonly hereOf: Map<number, number> }>;

async function insertTable(taking: Taking, table: PackageTable, numbers: NumbersHere): Promise<void> {
  let count = 0;
  // Statements on two connections: the one that reads the staged rows stays open.
  for (const row of stagedRows(taking.staging, table)) {
    insertIfNew(taking, table, row, numbers);
    count += 1;
    if (count % ROWS_BETWEEN_PAUSES === 0) await taking.pause();
  }
}

function insertIfNew(taking: Taking, table: PackageTable, row: Row, numbers: NumbersHere): void {
  const { here, staging, compared, at } = taking;
  if (!planOf(compared, table.name).newKeys.has(table.isGrowing ? String(row['id']) : keyOfRow(table, row)))
    return;
  // Its own number is given anew; what it refers to was inserted before it.
  const { id, ...rest } = row;
  const mapped = withNumbersOfHere(table, table.isGrowing ? rest : row, numbers);
  if (!mapped) throw new Error(`${table.name} ${String(id)} refers to a row that was not inserted`);
  const named = withName(taking, table, mapped);
  const whole = table.name === 'tool_photo' ? { ...named, bytes: photoBytes(staging, String(id)) } : named;
  const inserted = insertRow(here, table.name, withDerived(table.name, whole, at));
  if (table.isGrowing) numbers.get(table.name)?.hereOf.set(Number(id), Number(inserted));
}

function withName({ compared }: Taking, { name: table }: PackageTable, row: Row): Row {
  if (table !== 'tool' && table !== 'pack') return row;
  const given = compared.newNames.get(String(row['id']));
  return given === undefined ? row : { ...row, name: given };
}

function photoBytes(staging: ReadableDatabase, id: string): Uint8Array {
  const bytes = prepared<[string], Uint8Array>(staging, 'SELECT bytes FROM tool_photo WHERE id = ?')
    .pluck()
    .get(id);
  if (bytes) return bytes;
  throw new Error(`The picture ${id} was not staged`);
}

/** Run by run: a transducer has one open at a time, and a run takes readings only while it is open. */
async function insertRuns(taking: Taking, numbers: NumbersHere): Promise<void> {
  const parts = ['calibration_reading', 'calibration_run_event'].map((name) => {
    const table = tableNamed(name);
    const byRun = new Map<string, Row[]>();
    for (const row of stagedRows(taking.staging, table)) {
      const runId = String(row['run_id']);
      byRun.set(runId, [...(byRun.get(runId) ?? []), row]);
    }
    return { table, byRun };
  });
  const table = tableNamed('calibration_run');
  for (const run of stagedRows(taking.staging, table)) {
    insertIfNew(taking, table, run, numbers);
    for (const part of parts) {
      for (const row of part.byRun.get(String(run['id'])) ?? [])
        insertIfNew(taking, part.table, row, numbers);
    }
    await taking.pause();
  }
}

async function insertSamples({ staging, here, compared, pause }: Taking): Promise<void> {
  const select = staging.prepare<[string], RawBlockColumns>(
    `SELECT first_slot, slot_count, lost_slot_count, codec, gaps, marks, crc32, payload FROM raw_block
     WHERE trial_id = ? ORDER BY first_slot`,
  );
  for (const trialId of planOf(compared, 'trial').newKeys) {
    for (const row of select.iterate(trialId)) insertRawBlock(here, trialId, row);
    await pause();
  }
}

/** What the Logbook shows, finds and sorts by; the rest follows from triggers. */
async function listTrials({ here, compared, pause }: Taking): Promise<void> {
  const changed = new Set(planOf(compared, 'trial').newKeys);
  for (const table of ['trial_annotation', 'relabelling']) {
    for (const trialId of planOf(compared, table).extended) changed.add(trialId);
  }
  let count = 0;
  for (const trialId of changed) {
    refreshListing(here, trialId);
    count += 1;
    if (count % ROWS_BETWEEN_PAUSES === 0) await pause();
  }
}

function insertOrigins({ staging, here, compared, importId, benchId }: Taking): void {
  const origins = new Map(
    staging
      .prepare<[], { table: string; key: string; bench: string }>(
        'SELECT table_name AS "table", row_key AS "key", bench_id AS bench FROM origin',
      )
      .all()
      .map(({ table, key, bench }) => [`${table} ${key}`, bench]),
  );
  for (const table of tablesWithOrigin) {
    for (const key of planOf(compared, table).newKeys) {
      if (sharedRows[table]?.includes(key)) continue;
      prepared(
        here,
        'INSERT INTO imported_row (table_name, row_key, bench_id, import_id) VALUES (?, ?, ?, ?)',
      ).run(table, key, origins.get(`${table} ${key}`) ?? benchId, importId);
    }
  }
}
