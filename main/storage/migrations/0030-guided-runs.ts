import type BetterSqlite3 from 'better-sqlite3';

/** What calibrations are traced to, and the guided runs with every reading that was taken in them. */
export function guideRuns(database: BetterSqlite3.Database): void {
  database.exec(standards);
  database.exec(runs);
}

const standards = `
CREATE TABLE standard (
  -- A weight, an arm or a site, to be used again. Runs keep copies, so a row may be changed and removed.
  id TEXT PRIMARY KEY,
  kind TEXT NOT NULL CHECK (kind IN ('weight', 'arm', 'site')),
  standard_json TEXT NOT NULL CHECK (json_valid(standard_json)),
  -- By their names the instructions of a run tell them apart; folded, since SQLite compares ASCII only without case.
  name_folded TEXT NOT NULL,
  UNIQUE (kind, name_folded)
) STRICT;
`;

const runs = `
CREATE TABLE calibration_run (
  -- What was chosen before a guided run, and every reading it asks for. What comes next follows from these and its readings.
  id TEXT PRIMARY KEY,
  transducer_id TEXT NOT NULL REFERENCES transducer (id),
  -- Null: the simulated bench or a replayed capture.
  amplifier_id TEXT REFERENCES amplifier (id),
  is_simulated INTEGER NOT NULL CHECK (is_simulated IN (0, 1)),
  setup_json TEXT NOT NULL CHECK (json_valid(setup_json)),
  plan_json TEXT NOT NULL CHECK (json_valid(plan_json)),
  operator TEXT NOT NULL,
  started_at TEXT NOT NULL
) STRICT;
CREATE INDEX calibration_run_by_transducer ON calibration_run (transducer_id, started_at);

CREATE TABLE calibration_reading (
  -- Of the same run and index the newest counts, unless it was withdrawn.
  id INTEGER PRIMARY KEY,
  run_id TEXT NOT NULL REFERENCES calibration_run (id),
  reading_index INTEGER NOT NULL CHECK (reading_index >= 0),
  mean_counts REAL NOT NULL,
  -- Of the means of tenths of the dwell.
  standard_deviation_counts REAL NOT NULL CHECK (standard_deviation_counts >= 0),
  spread_counts REAL NOT NULL CHECK (spread_counts >= 0),
  drift_counts_per_s REAL NOT NULL,
  sample_count INTEGER NOT NULL CHECK (sample_count > 0),
  duration_s REAL NOT NULL CHECK (duration_s > 0),
  taken_at TEXT NOT NULL,
  taken_by TEXT NOT NULL CHECK (taken_by IN ('steady', 'key')),
  flags_json TEXT NOT NULL CHECK (json_valid(flags_json))
) STRICT;
CREATE INDEX calibration_reading_by_run ON calibration_reading (run_id, reading_index);

CREATE TABLE calibration_run_event (
  id INTEGER PRIMARY KEY,
  run_id TEXT NOT NULL REFERENCES calibration_run (id),
  -- 'handled': what is done by hand before a reading was confirmed. 'withdrawn': a reading is asked for again.
  kind TEXT NOT NULL CHECK (kind IN ('handled', 'withdrawn', 'resumed', 'accepted', 'discarded')),
  reading_index INTEGER CHECK (reading_index >= 0),
  reading_id INTEGER REFERENCES calibration_reading (id),
  reason TEXT NOT NULL,
  operator TEXT NOT NULL,
  at TEXT NOT NULL,
  CHECK ((kind IN ('handled', 'withdrawn')) = (reading_index IS NOT NULL)),
  CHECK ((kind = 'withdrawn') = (reading_id IS NOT NULL)),
  CHECK (kind <> 'discarded' OR length(trim(reason)) > 0)
) STRICT;
CREATE INDEX calibration_run_event_by_run ON calibration_run_event (run_id, kind);
CREATE UNIQUE INDEX calibration_run_ends_once ON calibration_run_event (run_id) WHERE kind IN ('accepted', 'discarded');

CREATE VIEW open_calibration_run AS
SELECT run.id, run.transducer_id FROM calibration_run AS run
WHERE NOT EXISTS (
  SELECT 1 FROM calibration_run_event AS event WHERE event.run_id = run.id AND event.kind IN ('accepted', 'discarded')
);

CREATE TRIGGER one_calibration_run_at_a_time BEFORE INSERT ON calibration_run
WHEN EXISTS (SELECT 1 FROM open_calibration_run WHERE transducer_id = NEW.transducer_id)
BEGIN
  SELECT RAISE(ABORT, 'a transducer has one open calibration run');
END;
CREATE TRIGGER calibration_reading_needs_an_open_run BEFORE INSERT ON calibration_reading
WHEN NOT EXISTS (SELECT 1 FROM open_calibration_run WHERE id = NEW.run_id)
BEGIN
  SELECT RAISE(ABORT, 'readings are taken in an open calibration run');
END;
CREATE TRIGGER calibration_run_event_needs_an_open_run BEFORE INSERT ON calibration_run_event
WHEN NOT EXISTS (SELECT 1 FROM open_calibration_run WHERE id = NEW.run_id)
BEGIN
  SELECT RAISE(ABORT, 'nothing happens in a calibration run that has ended');
END;
${['calibration_run', 'calibration_reading', 'calibration_run_event'].map(refuseChanges).join('')}`;

function refuseChanges(table: string): string {
  return `
CREATE TRIGGER ${table}_is_never_edited BEFORE UPDATE ON ${table}
BEGIN
  SELECT RAISE(ABORT, '${table} only grows');
END;
CREATE TRIGGER ${table}_is_never_deleted BEFORE DELETE ON ${table}
BEGIN
  SELECT RAISE(ABORT, '${table} only grows');
END;
`;
}
