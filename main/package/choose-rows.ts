import { packageTables, sharedRows, tablesWithOrigin } from '../../shared-lib/package/package-tables.ts';
import type { PackageTable } from '../../shared-lib/package/package-table.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { relatedTools } from './related-tools.ts';

export interface WhatToPack {
  readonly trialIds: readonly string[];
  /** Calibrations that go with it even if no trial rests on them. */
  readonly calibrationIds: readonly string[];
  /** Tools that go with it even if none of the trials was pulled with them. */
  readonly toolIds: readonly string[];
  /** All that is stored, tools and run sheets without trials too. */
  readonly isEverything: boolean;
  readonly ownBenchId: string;
}

/**
 * Finds the rows that a package holds: the trials, and everything that they, their sessions, run sheets, calibrations and tools rest
 * on. Trials that have not ended, or that nobody decided about, stay out: their figures have not been seen yet.
 *
 * The keys go into temporary tables `chosen_TABLE (key)` and `numbered_TABLE (id, number)` of this connection.
 */
export function chooseRows(database: ReadableDatabase, what: WhatToPack): void {
  for (const table of keyed()) {
    database.exec(`CREATE TEMP TABLE chosen_${table.name} (key TEXT PRIMARY KEY) WITHOUT ROWID`);
  }
  const choose = (table: string, select: string, ...bound: readonly string[]): void => {
    database.prepare(`INSERT OR IGNORE INTO chosen_${table} ${select}`).run(...bound);
  };
  const all = what.isEverything ? 'OR 1' : '';
  const list = (values: readonly string[]): string => JSON.stringify(values);

  choose(
    'trial',
    `SELECT id FROM trial WHERE state IN ('kept', 'interrupted') AND (id IN (SELECT value FROM json_each(?)) ${all})`,
    list(what.trialIds),
  );
  const ofTrials = 'JOIN chosen_trial ON chosen_trial.key =';
  choose(
    'run_sheet',
    `SELECT run_sheet_id FROM trial ${ofTrials} trial.id WHERE run_sheet_id IS NOT NULL
     ${what.isEverything ? 'UNION SELECT id FROM run_sheet' : ''}`,
  );
  choose(
    'session',
    `SELECT session_id FROM trial ${ofTrials} trial.id
     UNION SELECT session_id FROM run_sheet_event JOIN chosen_run_sheet ON key = run_sheet_id WHERE session_id IS NOT NULL`,
  );
  choose(
    'calibration',
    `SELECT calibration_id FROM trial ${ofTrials} trial.id
     UNION SELECT calibration_id FROM calibration_assignment ${ofTrials} trial_id
     UNION SELECT calibration_id FROM trial_evaluation ${ofTrials} trial_id
     UNION SELECT id FROM calibration WHERE id IN (SELECT value FROM json_each(?)) ${all}`,
    list(what.calibrationIds),
  );
  choose(
    'calibration_run',
    'SELECT run_id FROM calibration JOIN chosen_calibration ON key = id WHERE run_id IS NOT NULL',
  );
  choose(
    'transducer',
    `SELECT transducer_id FROM trial ${ofTrials} trial.id
     UNION SELECT transducer_id FROM session JOIN chosen_session ON key = id
     UNION SELECT transducer_id FROM calibration JOIN chosen_calibration ON key = id`,
  );
  choose(
    'amplifier',
    `SELECT amplifier_id FROM trial ${ofTrials} trial.id WHERE amplifier_id IS NOT NULL
     UNION SELECT amplifier_id FROM calibration JOIN chosen_calibration ON key = id WHERE amplifier_id IS NOT NULL
     UNION SELECT amplifier_id FROM calibration_run JOIN chosen_calibration_run ON key = id WHERE amplifier_id IS NOT NULL`,
  );
  choose(
    'setup',
    `SELECT id FROM setup WHERE id IN (
       SELECT setup_id FROM trial ${ofTrials} trial.id
       UNION SELECT setup_json ->> '$.setupId' FROM relabelling ${ofTrials} trial_id
       UNION SELECT setup_json ->> '$.setupId' FROM run_sheet_entry JOIN chosen_run_sheet ON key = run_sheet_id
       UNION SELECT reference_setup_id FROM run_sheet JOIN chosen_run_sheet ON key = id
     ) ${all}`,
  );
  const tools = relatedTools(database, {
    toolIds: database
      .prepare<[string], string>(
        `SELECT tool_id FROM setup JOIN chosen_setup ON key = id
         UNION SELECT id FROM tool WHERE id IN (SELECT value FROM json_each(?)) ${all}`,
      )
      .pluck()
      .all(list(what.toolIds)),
    names: database
      .prepare<[], string>(
        `SELECT tool_name FROM trial ${ofTrials} trial.id UNION SELECT tool_name FROM relabelling ${ofTrials} trial_id`,
      )
      .pluck()
      .all(),
  });
  choose('tool', 'SELECT value FROM json_each(?)', list([...tools.toolIds]));
  choose(
    'setup',
    'SELECT id FROM setup WHERE tool_id IN (SELECT value FROM json_each(?))',
    list([...tools.mergedIds]),
  );
  choose(
    'pack',
    `SELECT pack_id FROM setup JOIN chosen_setup ON key = id WHERE pack_id IS NOT NULL
     ${what.isEverything ? 'UNION SELECT id FROM pack' : ''}`,
  );
  for (const table of keyed()) chooseOfParent(database, table);
  chooseOrigins(database, what.ownBenchId);
  for (const table of packageTables.filter(({ isGrowing }) => isGrowing)) numberRows(database, table);
}

/** With a text for a key that others refer to. */
function keyed(): readonly PackageTable[] {
  return packageTables.filter(({ key, isGrowing }) => !isGrowing && key.length === 1 && key[0] === 'id');
}

function chooseOfParent(database: ReadableDatabase, { name, belongsTo }: PackageTable): void {
  if (belongsTo === null) return;
  database
    .prepare(
      `INSERT OR IGNORE INTO chosen_${name} SELECT id FROM ${name} JOIN chosen_${belongsTo.table} ON key = ${belongsTo.column}`,
    )
    .run();
}

/** On which bench each of them was made. */
function chooseOrigins(database: ReadableDatabase, ownBenchId: string): void {
  database.exec(`CREATE TEMP TABLE origin (table_name TEXT, row_key TEXT, bench_id TEXT,
    PRIMARY KEY (table_name, row_key)) WITHOUT ROWID`);
  for (const name of tablesWithOrigin) {
    database
      .prepare(
        `INSERT INTO origin
         SELECT '${name}', key, coalesce(
           (SELECT bench_id FROM imported_row WHERE table_name = '${name}' AND row_key = key), ?)
         FROM chosen_${name} WHERE key NOT IN (SELECT value FROM json_each(?))`,
      )
      .run(ownBenchId, JSON.stringify(sharedRows[name] ?? []));
  }
  database.exec('INSERT OR IGNORE INTO chosen_bench SELECT DISTINCT bench_id FROM origin');
}

function numberRows(database: ReadableDatabase, { name, belongsTo }: PackageTable): void {
  if (belongsTo === null) throw new Error(`${name} belongs to nothing`);
  database.exec(`
CREATE TEMP TABLE numbered_${name} (id INTEGER PRIMARY KEY, number INTEGER NOT NULL);
INSERT INTO numbered_${name}
SELECT id, row_number() OVER (ORDER BY ${belongsTo.column}, id)
FROM ${name} JOIN chosen_${belongsTo.table} ON key = ${belongsTo.column};`);
}

/**
 * Statement for the rows of a table that were chosen, in the order of the package and with its numbers. `slot_count` of a trial is
 * counted from its rows of samples.
 */
export function selectChosen(table: PackageTable): string {
  const { name, belongsTo, isGrowing } = table;
  if (name === 'bench') return 'SELECT id, name FROM temp.named_bench ORDER BY id';
  if (name === 'origin') return 'SELECT table_name, row_key, bench_id FROM temp.origin ORDER BY 1, 2';
  const cells = table.columns.map((column) => {
    if (isGrowing && column.name === 'id') return 'numbered.number AS id';
    const numbered = packageTables.some((other) => other.isGrowing && other.name === column.refersTo);
    if (numbered) {
      return `(SELECT number FROM numbered_${column.refersTo} WHERE id = ${name}.${column.name}) AS ${column.name}`;
    }
    if (name === 'trial' && column.name === 'slot_count') {
      return `coalesce((SELECT max(first_slot + slot_count) FROM raw_block WHERE trial_id = trial.id), 0) AS slot_count`;
    }
    return `${name}.${column.name}`;
  });
  const from = isGrowing
    ? `JOIN numbered_${name} AS numbered ON numbered.id = ${name}.id ORDER BY numbered.number`
    : belongsTo !== null && table.key[0] !== 'id'
      ? ofParent(table)
      : `JOIN chosen_${name} ON key = ${name}.id ORDER BY ${name}.id`;
  return `SELECT ${cells.join(', ')} FROM ${name} ${from}`;
}

function ofParent({ name, belongsTo, order }: PackageTable): string {
  if (belongsTo === null) throw new Error(`${name} belongs to nothing`);
  const isNumbered = packageTables.some((other) => other.isGrowing && other.name === belongsTo.table);
  return isNumbered
    ? `JOIN numbered_${belongsTo.table} AS parent ON parent.id = ${name}.${belongsTo.column} ORDER BY parent.number`
    : `JOIN chosen_${belongsTo.table} ON key = ${name}.${belongsTo.column} ORDER BY ${order.map((column) => `${name}.${column}`).join(', ')}`;
}
