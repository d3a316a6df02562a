import type BetterSqlite3 from 'better-sqlite3';

/**
 * Tools, packs and setups, plans, run sheets with what became of them, and of each trial the setup it was pulled with and
 * its place in a sheet. Trials from before have none.
 */
export function planRunSheets(database: BetterSqlite3.Database): void {
  database.exec(benchItems);
  database.exec(runSheets);
  database.exec(trials);
}

const benchItems = `
CREATE TABLE tool (
  -- Trials and run sheets keep copies, so a row may be changed; it is archived rather than removed.
  id TEXT PRIMARY KEY,
  name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 80),
  -- Compatibility-normalised and in lower case, since SQLite folds ASCII only.
  name_folded TEXT NOT NULL,
  supply TEXT NOT NULL,
  -- As the maker declares it; null: not known.
  declared_vibration_mps2 REAL CHECK (declared_vibration_mps2 > 0),
  declared_noise_dba REAL CHECK (declared_noise_dba > 0),
  is_archived INTEGER NOT NULL CHECK (is_archived IN (0, 1))
) STRICT;
CREATE UNIQUE INDEX tool_by_name ON tool (name_folded) WHERE is_archived = 0;

CREATE TABLE pack (
  id TEXT PRIMARY KEY,
  name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 80),
  name_folded TEXT NOT NULL,
  nominal_v REAL CHECK (nominal_v > 0),
  capacity_ah REAL CHECK (capacity_ah > 0),
  is_archived INTEGER NOT NULL CHECK (is_archived IN (0, 1))
) STRICT;
CREATE UNIQUE INDEX pack_by_name ON pack (name_folded) WHERE is_archived = 0;

CREATE TABLE setup (
  id TEXT PRIMARY KEY,
  tool_id TEXT NOT NULL REFERENCES tool (id),
  pack_id TEXT REFERENCES pack (id),
  -- Speed step, mode or clutch setting; empty: the tool has none.
  setting TEXT NOT NULL,
  socket_json TEXT CHECK (json_valid(socket_json)),
  is_archived INTEGER NOT NULL CHECK (is_archived IN (0, 1))
) STRICT;
CREATE INDEX setup_by_tool ON setup (tool_id);

CREATE TABLE plan (
  -- Those of the user; run sheets keep copies, so a row may be changed and removed.
  id TEXT PRIMARY KEY,
  name_folded TEXT NOT NULL UNIQUE,
  plan_json TEXT NOT NULL CHECK (json_valid(plan_json))
) STRICT, WITHOUT ROWID;
${['tool', 'pack', 'setup'].map(refuseDeleting).join('')}`;

const runSheets = `
CREATE TABLE run_sheet (
  id TEXT PRIMARY KEY,
  name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 80),
  created_at TEXT NOT NULL,
  operator TEXT NOT NULL,
  plan_json TEXT NOT NULL CHECK (json_valid(plan_json)),
  pull_order TEXT NOT NULL,
  seed INTEGER NOT NULL CHECK (seed BETWEEN 0 AND 4294967295),
  reference_setup_id TEXT REFERENCES setup (id)
) STRICT;
CREATE INDEX run_sheet_by_time ON run_sheet (created_at DESC, id);

CREATE TABLE run_sheet_entry (
  -- One pull that is asked for. Whether it is done follows from its trials, whether it is skipped from the events.
  id TEXT PRIMARY KEY,
  run_sheet_id TEXT NOT NULL REFERENCES run_sheet (id),
  -- In this order they are pulled. Numbers may be left out; only this column ever changes.
  position INTEGER NOT NULL CHECK (position >= 0),
  setup_json TEXT NOT NULL CHECK (json_valid(setup_json)),
  step_json TEXT NOT NULL CHECK (json_valid(step_json)),
  role TEXT NOT NULL CHECK (role IN ('counted', 'conditioning', 'reference')),
  round INTEGER NOT NULL CHECK (round >= 0),
  repeat INTEGER NOT NULL CHECK (repeat >= 1),
  rest_s REAL NOT NULL CHECK (rest_s >= 0)
) STRICT;
CREATE INDEX run_sheet_entry_by_position ON run_sheet_entry (run_sheet_id, position);

CREATE TRIGGER run_sheet_entry_only_moves
BEFORE UPDATE OF id, run_sheet_id, setup_json, step_json, role, round, repeat, rest_s ON run_sheet_entry
BEGIN
  SELECT RAISE(ABORT, 'an entry of a run sheet is never edited, only moved');
END;

CREATE TABLE run_sheet_event (
  -- What was decided about a sheet and its entries: 'opened' on the bench, 'setupConfirmed', 'skipped', 'skipTakenBack',
  -- 'moved', 'closed'.
  id INTEGER PRIMARY KEY,
  run_sheet_id TEXT NOT NULL REFERENCES run_sheet (id),
  entry_id TEXT REFERENCES run_sheet_entry (id),
  -- At the bench at that time; null: none.
  session_id TEXT REFERENCES session (id),
  kind TEXT NOT NULL,
  reason TEXT NOT NULL,
  -- Of a move the entry it was put before; of a confirmation the setup, the round and what was found.
  detail_json TEXT CHECK (json_valid(detail_json)),
  operator TEXT NOT NULL,
  at TEXT NOT NULL,
  CHECK (kind <> 'skipped' OR length(trim(reason)) > 0)
) STRICT;
CREATE INDEX run_sheet_event_by_sheet ON run_sheet_event (run_sheet_id, kind, id);
CREATE INDEX run_sheet_event_by_entry ON run_sheet_event (entry_id, id, kind);
CREATE INDEX setup_in_hand ON run_sheet_event (id) WHERE kind IN ('opened', 'setupConfirmed');
CREATE INDEX setup_confirmation ON run_sheet_event (id) WHERE kind = 'setupConfirmed';
${refuseEditing('run_sheet')}${refuseEditing('run_sheet_event')}
${['run_sheet', 'run_sheet_entry', 'run_sheet_event'].map(refuseDeleting).join('')}`;

const trials = `
-- Of a step of kind breakaway; null elsewhere, or where it is not known.
ALTER TABLE trial ADD COLUMN preload_nm REAL CHECK (preload_nm > 0);
-- The setup as it was named then, with its place in a run sheet and what was found when it was taken up; all null: a trial
-- outside of a run sheet.
ALTER TABLE trial ADD COLUMN setup_json TEXT CHECK (json_valid(setup_json));
ALTER TABLE trial ADD COLUMN setup_id TEXT
  GENERATED ALWAYS AS (json_extract(setup_json, '$.setupId')) VIRTUAL;
ALTER TABLE trial ADD COLUMN run_sheet_id TEXT REFERENCES run_sheet (id);
ALTER TABLE trial ADD COLUMN entry_id TEXT REFERENCES run_sheet_entry (id);
ALTER TABLE trial ADD COLUMN place_json TEXT CHECK (json_valid(place_json));
ALTER TABLE trial ADD COLUMN preparation_json TEXT CHECK (json_valid(preparation_json));
-- Since the end of the pull before with the same setup in the same session, and what the plan wants; null: none before.
ALTER TABLE trial ADD COLUMN rested_s REAL CHECK (rested_s >= 0);
ALTER TABLE trial ADD COLUMN planned_rest_s REAL CHECK (planned_rest_s >= 0);

CREATE INDEX trial_by_entry ON trial (entry_id, started_at, id, state, is_voided) WHERE entry_id IS NOT NULL;
CREATE INDEX trial_by_run_sheet ON trial (run_sheet_id, started_at, id, entry_id, state, is_voided)
  WHERE run_sheet_id IS NOT NULL;
CREATE INDEX trial_by_session_and_setup ON trial (session_id, setup_id, started_at) WHERE setup_id IS NOT NULL;

DROP TRIGGER trial_conditions_are_fixed;
CREATE TRIGGER trial_conditions_are_fixed
BEFORE UPDATE OF id, session_id, started_at, tool_name, tool_name_folded, kind, direction, planned_s, preload_nm,
  is_simulated, transducer_id, transducer_json, calibration_id, amplifier_id, amplifier_name, profile_json,
  clock_source, zero_counts, noise_nm, onset_level_nm, software_version, definition_version, setup_json, run_sheet_id,
  entry_id, place_json, preparation_json, rested_s, planned_rest_s
ON trial
BEGIN
  SELECT RAISE(ABORT, 'what a trial was made with is never edited');
END;

-- Where the torque ended early, what the operator says ended it; null: not asked, or not said.
ALTER TABLE trial_decision ADD COLUMN stop_cause TEXT;
`;

function refuseEditing(table: string): string {
  return `
CREATE TRIGGER ${table}_is_never_edited BEFORE UPDATE ON ${table}
BEGIN
  SELECT RAISE(ABORT, '${table} is never edited');
END;
`;
}

function refuseDeleting(table: string): string {
  return `
CREATE TRIGGER ${table}_is_never_deleted BEFORE DELETE ON ${table}
BEGIN
  SELECT RAISE(ABORT, '${table} is never deleted from');
END;
`;
}
