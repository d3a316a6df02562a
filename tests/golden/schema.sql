CREATE TABLE setting (
  key TEXT PRIMARY KEY,
  value_json TEXT NOT NULL CHECK (json_valid(value_json))
) STRICT, WITHOUT ROWID;

CREATE TABLE transducer (
  id TEXT PRIMARY KEY,
  name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 80),
  is_simulated INTEGER NOT NULL CHECK (is_simulated IN (0, 1)),
  capacity_nm REAL CHECK (capacity_nm > 0),
  rig_limit_nm REAL CHECK (rig_limit_nm > 0),
  rig_unloading TEXT NOT NULL CHECK (rig_unloading IN ('holds', 'releases')),
  -- 1, or -1 where a clockwise push reads negative through the calibration.
  sense_sign INTEGER NOT NULL CHECK (sense_sign IN (1, -1)),
  sense_confirmed_at TEXT,
  active_calibration_id TEXT, rig_revision TEXT NOT NULL DEFAULT '',
  -- The pair, so that a calibration of another transducer cannot become active here.
  FOREIGN KEY (active_calibration_id, id) REFERENCES calibration (id, transducer_id)
) STRICT;

CREATE TABLE calibration (
  id TEXT PRIMARY KEY,
  transducer_id TEXT NOT NULL REFERENCES transducer (id),
  label TEXT NOT NULL,
  method TEXT NOT NULL,
  -- Torque is gain x (counts - zero); each sense has its own gain, null where it was not calibrated.
  forward_gain_nm_per_count REAL CHECK (forward_gain_nm_per_count <> 0),
  forward_valid_to_nm REAL CHECK (forward_valid_to_nm > 0),
  reverse_gain_nm_per_count REAL CHECK (reverse_gain_nm_per_count <> 0),
  reverse_valid_to_nm REAL CHECK (reverse_valid_to_nm > 0),
  -- Relative expanded uncertainty as the user entered it; null: not stated.
  entered_uncertainty_percent REAL CHECK (entered_uncertainty_percent BETWEEN 0 AND 100),
  -- What was entered to get here, so that the gains can be computed again; null for the simulated bench.
  input_json TEXT CHECK (json_valid(input_json)),
  operator TEXT NOT NULL,
  note TEXT NOT NULL,
  created_at TEXT NOT NULL,
  superseded_at TEXT,
  supersede_reason TEXT, amplifier_id TEXT REFERENCES amplifier (id), forward_curve_json TEXT CHECK (json_valid(forward_curve_json)), reverse_curve_json TEXT CHECK (json_valid(reverse_curve_json)), run_id TEXT REFERENCES calibration_run (id), result_json TEXT CHECK (json_valid(result_json)), valid_until TEXT, valid_for_trials INTEGER CHECK (valid_for_trials > 0),
  UNIQUE (id, transducer_id),
  CHECK ((forward_gain_nm_per_count IS NULL) = (forward_valid_to_nm IS NULL)),
  CHECK ((reverse_gain_nm_per_count IS NULL) = (reverse_valid_to_nm IS NULL)),
  CHECK ((superseded_at IS NULL) = (supersede_reason IS NULL))
) STRICT;

CREATE INDEX calibration_by_transducer ON calibration (transducer_id, created_at);

CREATE TRIGGER calibration_is_superseded_once BEFORE UPDATE ON calibration WHEN OLD.superseded_at IS NOT NULL
BEGIN
  SELECT RAISE(ABORT, 'a calibration version is superseded once');
END;

CREATE TRIGGER calibration_is_never_deleted BEFORE DELETE ON calibration
BEGIN
  SELECT RAISE(ABORT, 'a calibration version is never deleted');
END;

CREATE TABLE session (
  -- One sitting at the bench with one transducer.
  id TEXT PRIMARY KEY,
  transducer_id TEXT NOT NULL REFERENCES transducer (id),
  started_at TEXT NOT NULL,
  operator TEXT NOT NULL,
  -- When the safety list was confirmed; null: not yet, or the simulated bench, which does not ask.
  safety_confirmed_at TEXT
, ended_at TEXT, rig_note TEXT NOT NULL DEFAULT '', ambient_c REAL, relative_humidity_percent REAL CHECK (relative_humidity_percent BETWEEN 0 AND 100), air_pressure_hpa REAL CHECK (air_pressure_hpa > 0)) STRICT;

CREATE TABLE session_step_level (
  -- The onset level of a step, fixed at its first arming in a session.
  session_id TEXT NOT NULL REFERENCES session (id),
  kind TEXT NOT NULL CHECK (kind IN ('tighten', 'breakaway', 'stall', 'endurance')),
  direction TEXT NOT NULL CHECK (direction IN ('forward', 'reverse')),
  onset_level_nm REAL NOT NULL CHECK (onset_level_nm > 0),
  noise_nm REAL NOT NULL CHECK (noise_nm >= 0),
  PRIMARY KEY (session_id, kind, direction)
) STRICT, WITHOUT ROWID;

CREATE TABLE bench_log (
  -- What happened at the bench without making a trial, such as an abort before onset.
  id INTEGER PRIMARY KEY,
  at TEXT NOT NULL,
  kind TEXT NOT NULL,
  text TEXT NOT NULL
) STRICT;

CREATE INDEX bench_log_by_time ON bench_log (at);

CREATE TABLE trial (
  id TEXT PRIMARY KEY,
  session_id TEXT NOT NULL REFERENCES session (id),
  started_at TEXT NOT NULL,
  tool_name TEXT NOT NULL,
  -- For the search: compatibility-normalised and in lower case, since SQLite folds ASCII only.
  tool_name_folded TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('tighten', 'breakaway', 'stall', 'endurance')),
  direction TEXT NOT NULL CHECK (direction IN ('forward', 'reverse')),
  planned_s REAL NOT NULL CHECK (planned_s > 0),
  is_simulated INTEGER NOT NULL CHECK (is_simulated IN (0, 1)),

  -- The bench as it was when the trial began; never changed.
  transducer_id TEXT NOT NULL REFERENCES transducer (id),
  transducer_json TEXT NOT NULL CHECK (json_valid(transducer_json)),
  calibration_id TEXT NOT NULL,
  profile_json TEXT NOT NULL CHECK (json_valid(profile_json)),
  clock_source TEXT NOT NULL CHECK (clock_source IN ('sequence', 'deviceTime', 'arrival')),
  zero_counts REAL NOT NULL,
  noise_nm REAL NOT NULL,
  onset_level_nm REAL NOT NULL,
  software_version TEXT NOT NULL,
  definition_version INTEGER NOT NULL,

  -- Where it stands. A void does not change the state, so that it can be taken back.
  state TEXT NOT NULL CHECK (state IN ('recording', 'reviewing', 'kept', 'interrupted')),
  is_voided INTEGER NOT NULL DEFAULT 0 CHECK (is_voided IN (0, 1)),
  -- Why it was cut short; stays when such a trial is kept.
  interruption TEXT,

  -- Slots from the record's first one, as found live.
  onset_slot REAL NOT NULL,
  -- Least squares of slots over arrival times, and what that fit leaves; null where there were too few blocks.
  sample_rate_hz REAL CHECK (sample_rate_hz > 0),
  rate_residual_us REAL CHECK (rate_residual_us >= 0),
  -- Null where the rest after unloading was not seen.
  zero_after_counts REAL, amplifier_id TEXT REFERENCES amplifier (id), amplifier_name TEXT, rate_standard_error_hz REAL CHECK (rate_standard_error_hz >= 0), preload_nm REAL CHECK (preload_nm > 0), setup_json TEXT CHECK (json_valid(setup_json)), setup_id TEXT
  GENERATED ALWAYS AS (json_extract(setup_json, '$.setupId')) VIRTUAL, run_sheet_id TEXT REFERENCES run_sheet (id), entry_id TEXT REFERENCES run_sheet_entry (id), place_json TEXT CHECK (json_valid(place_json)), preparation_json TEXT CHECK (json_valid(preparation_json)), rested_s REAL CHECK (rested_s >= 0), planned_rest_s REAL CHECK (planned_rest_s >= 0), shown_tool_name TEXT NOT NULL DEFAULT '', shown_tool_name_folded TEXT NOT NULL DEFAULT '', shown_setup_json TEXT CHECK (json_valid(shown_setup_json)), shown_setup_id TEXT, role TEXT, has_note INTEGER NOT NULL DEFAULT 0 CHECK (has_note IN (0, 1)), tags_json TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(tags_json)), search_text TEXT NOT NULL DEFAULT '', newest_definition INTEGER, newest_verdict TEXT, newest_sustained_nm REAL, has_been_kept INTEGER NOT NULL DEFAULT 0 CHECK (has_been_kept IN (0, 1)), shown_sustained_nm REAL,

  FOREIGN KEY (calibration_id, transducer_id) REFERENCES calibration (id, transducer_id),
  CHECK (state <> 'interrupted' OR interruption IS NOT NULL),
  CHECK (state NOT IN ('recording', 'reviewing') OR interruption IS NULL),
  CHECK (state <> 'recording' OR is_voided = 0)
) STRICT;

CREATE INDEX trial_by_session ON trial (session_id, state, is_voided);

CREATE INDEX trial_unsettled ON trial (state) WHERE state IN ('recording', 'interrupted');

CREATE TRIGGER trial_is_never_deleted BEFORE DELETE ON trial
BEGIN
  SELECT RAISE(ABORT, 'a trial is never deleted, only voided');
END;

CREATE TABLE raw_block (
  -- Raw counts, the truth behind every figure. A slot that no row covers, or that a row names as a gap, was lost.
  id INTEGER PRIMARY KEY,
  trial_id TEXT NOT NULL REFERENCES trial (id),
  first_slot INTEGER NOT NULL CHECK (first_slot >= 0),
  slot_count INTEGER NOT NULL CHECK (slot_count > 0),
  lost_slot_count INTEGER NOT NULL CHECK (lost_slot_count BETWEEN 0 AND slot_count),
  -- 0: as recorded, 32-bit little-endian integers. 1: repacked, byte planes of the differences, then brotli.
  codec INTEGER NOT NULL CHECK (codec >= 0),
  -- Lists of whole numbers, see number-list-codec.ts. Gaps: distance from the end of the one before, length.
  gaps BLOB NOT NULL,
  -- The host's monotonic time when a slot had been read: slot and microseconds, as differences.
  marks BLOB NOT NULL,
  -- Over all the columns above and the payload.
  crc32 INTEGER NOT NULL,
  -- Last, so that reading the others does not read the samples.
  payload BLOB NOT NULL,
  UNIQUE (trial_id, first_slot, codec)
) STRICT;

CREATE INDEX raw_block_unpacked ON raw_block (trial_id, first_slot) WHERE codec = 0;

CREATE TRIGGER raw_block_is_never_edited BEFORE UPDATE ON raw_block
BEGIN
  SELECT RAISE(ABORT, 'raw samples are never edited');
END;

CREATE TRIGGER raw_block_is_deleted_only_when_repacked BEFORE DELETE ON raw_block
-- Repacking puts the larger row first and then takes out the rows it was made from; nothing else may delete.
WHEN OLD.codec <> 0 OR NOT EXISTS (
  SELECT 1 FROM raw_block AS packed
  WHERE packed.trial_id = OLD.trial_id AND packed.codec <> 0
    AND packed.first_slot <= OLD.first_slot
    AND packed.first_slot + packed.slot_count >= OLD.first_slot + OLD.slot_count
)
BEGIN
  SELECT RAISE(ABORT, 'raw samples are deleted only when a repacked row holds them');
END;

CREATE TABLE trial_fault (
  id INTEGER PRIMARY KEY,
  trial_id TEXT NOT NULL REFERENCES trial (id),
  kind TEXT NOT NULL,
  at TEXT NOT NULL,
  -- From the record's first slot; null where the fault has no place in it.
  at_s REAL,
  count INTEGER NOT NULL CHECK (count >= 0),
  sentence TEXT NOT NULL
) STRICT;

CREATE INDEX trial_fault_by_trial ON trial_fault (trial_id);

CREATE TABLE trial_evaluation (
  -- Figures under one definition and one calibration. The newest row counts; older ones stay to explain what was shown.
  id INTEGER PRIMARY KEY,
  trial_id TEXT NOT NULL REFERENCES trial (id),
  definition_version INTEGER NOT NULL,
  calibration_id TEXT NOT NULL REFERENCES calibration (id),
  figures_json TEXT NOT NULL CHECK (json_valid(figures_json)),
  at TEXT NOT NULL,
  sustained_torque_nm REAL GENERATED ALWAYS AS (json_extract(figures_json, '$.sustainedTorqueNm.value')) VIRTUAL,
  quality_verdict TEXT GENERATED ALWAYS AS (json_extract(figures_json, '$.quality.verdict')) VIRTUAL
) STRICT;

CREATE INDEX trial_evaluation_by_trial ON trial_evaluation (trial_id);

CREATE TABLE trial_decision (
  id INTEGER PRIMARY KEY,
  trial_id TEXT NOT NULL REFERENCES trial (id),
  decision TEXT NOT NULL CHECK (decision IN ('kept', 'voided', 'restored', 'interrupted')),
  reason TEXT NOT NULL,
  -- Whether the figures had been shown by then: a void after seeing them is another thing than one before.
  figures_shown INTEGER NOT NULL CHECK (figures_shown IN (0, 1)),
  operator TEXT NOT NULL,
  at TEXT NOT NULL, stop_cause TEXT,
  CHECK (decision NOT IN ('voided', 'restored') OR length(trim(reason)) > 0)
) STRICT;

CREATE INDEX trial_decision_by_trial ON trial_decision (trial_id, decision);

CREATE TRIGGER trial_fault_is_never_edited BEFORE UPDATE ON trial_fault
BEGIN
  SELECT RAISE(ABORT, 'trial_fault only grows');
END;

CREATE TRIGGER trial_fault_is_never_deleted BEFORE DELETE ON trial_fault
BEGIN
  SELECT RAISE(ABORT, 'trial_fault only grows');
END;

CREATE TRIGGER trial_evaluation_is_never_edited BEFORE UPDATE ON trial_evaluation
BEGIN
  SELECT RAISE(ABORT, 'trial_evaluation only grows');
END;

CREATE TRIGGER trial_evaluation_is_never_deleted BEFORE DELETE ON trial_evaluation
BEGIN
  SELECT RAISE(ABORT, 'trial_evaluation only grows');
END;

CREATE TRIGGER trial_decision_is_never_edited BEFORE UPDATE ON trial_decision
BEGIN
  SELECT RAISE(ABORT, 'trial_decision only grows');
END;

CREATE TRIGGER trial_decision_is_never_deleted BEFORE DELETE ON trial_decision
BEGIN
  SELECT RAISE(ABORT, 'trial_decision only grows');
END;

CREATE TRIGGER bench_log_is_never_edited BEFORE UPDATE ON bench_log
BEGIN
  SELECT RAISE(ABORT, 'bench_log only grows');
END;

CREATE TRIGGER bench_log_is_never_deleted BEFORE DELETE ON bench_log
BEGIN
  SELECT RAISE(ABORT, 'bench_log only grows');
END;

CREATE TABLE amplifier_profile (
  id TEXT PRIMARY KEY,
  profile_json TEXT NOT NULL CHECK (json_valid(profile_json))
) STRICT, WITHOUT ROWID;

CREATE TABLE amplifier (
  id TEXT PRIMARY KEY,
  name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 80),
  settings_json TEXT NOT NULL CHECK (json_valid(settings_json)),
  -- Where it was last.
  path TEXT NOT NULL GENERATED ALWAYS AS (json_extract(settings_json, '$.path')) VIRTUAL,
  -- By these it is known again on any port; null where its port says nothing of it: then the path is all there is.
  usb_serial_number TEXT,
  usb_vendor_id TEXT,
  usb_product_id TEXT,
  transducer_id TEXT REFERENCES transducer (id),
  last_connected_at TEXT NOT NULL,
  -- Taken off the list; the row stays for the calibrations and trials that name it.
  is_forgotten INTEGER NOT NULL DEFAULT 0 CHECK (is_forgotten IN (0, 1)),
  CHECK (usb_serial_number IS NOT NULL OR (usb_vendor_id IS NULL AND usb_product_id IS NULL))
) STRICT;

CREATE TRIGGER amplifier_is_never_deleted BEFORE DELETE ON amplifier
BEGIN
  SELECT RAISE(ABORT, 'an amplifier is never deleted, only forgotten');
END;

CREATE TABLE standard (
  -- A weight, an arm or a site, to be used again. Runs keep copies, so a row may be changed and removed.
  id TEXT PRIMARY KEY,
  kind TEXT NOT NULL CHECK (kind IN ('weight', 'arm', 'site')),
  standard_json TEXT NOT NULL CHECK (json_valid(standard_json)),
  -- By their names the instructions of a run tell them apart; folded, since SQLite compares ASCII only without case.
  name_folded TEXT NOT NULL,
  UNIQUE (kind, name_folded)
) STRICT;

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

CREATE TRIGGER calibration_run_is_never_edited BEFORE UPDATE ON calibration_run
BEGIN
  SELECT RAISE(ABORT, 'calibration_run only grows');
END;

CREATE TRIGGER calibration_run_is_never_deleted BEFORE DELETE ON calibration_run
BEGIN
  SELECT RAISE(ABORT, 'calibration_run only grows');
END;

CREATE TRIGGER calibration_reading_is_never_edited BEFORE UPDATE ON calibration_reading
BEGIN
  SELECT RAISE(ABORT, 'calibration_reading only grows');
END;

CREATE TRIGGER calibration_reading_is_never_deleted BEFORE DELETE ON calibration_reading
BEGIN
  SELECT RAISE(ABORT, 'calibration_reading only grows');
END;

CREATE TRIGGER calibration_run_event_is_never_edited BEFORE UPDATE ON calibration_run_event
BEGIN
  SELECT RAISE(ABORT, 'calibration_run_event only grows');
END;

CREATE TRIGGER calibration_run_event_is_never_deleted BEFORE DELETE ON calibration_run_event
BEGIN
  SELECT RAISE(ABORT, 'calibration_run_event only grows');
END;

CREATE TRIGGER calibration_is_never_edited
BEFORE UPDATE OF id, transducer_id, amplifier_id, label, method, forward_gain_nm_per_count, forward_valid_to_nm,
  forward_curve_json, reverse_gain_nm_per_count, reverse_valid_to_nm, reverse_curve_json, entered_uncertainty_percent,
  input_json, run_id, result_json, valid_until, valid_for_trials, operator, note, created_at
ON calibration
BEGIN
  SELECT RAISE(ABORT, 'a calibration version is never edited, only superseded');
END;

CREATE INDEX trial_by_calibration ON trial (calibration_id, started_at, id, state, is_voided);

CREATE TABLE daily_check (
  id INTEGER PRIMARY KEY,
  transducer_id TEXT NOT NULL REFERENCES transducer (id),
  calibration_id TEXT NOT NULL,
  at TEXT NOT NULL,
  operator TEXT NOT NULL,
  means_json TEXT NOT NULL CHECK (json_valid(means_json)),
  zero_counts REAL NOT NULL,
  reading_counts REAL NOT NULL,
  reference_nm REAL NOT NULL,
  reading_nm REAL NOT NULL,
  error_nm REAL NOT NULL,
  limit_nm REAL,
  -- 'reference': the first shunt reading under a calibration, which has nothing to be judged against.
  verdict TEXT NOT NULL CHECK (verdict IN ('passed', 'failed', 'reference')),
  reasons_json TEXT NOT NULL CHECK (json_valid(reasons_json)),
  -- What it can show to be wrong: a weight one sense of the whole chain, the shunt only bridge and amplifier.
  shows TEXT NOT NULL GENERATED ALWAYS AS (
    CASE json_extract(means_json, '$.kind') WHEN 'shunt' THEN 'shunt' ELSE json_extract(means_json, '$.sense') END
  ) VIRTUAL,
  FOREIGN KEY (calibration_id, transducer_id) REFERENCES calibration (id, transducer_id)
) STRICT;

CREATE INDEX daily_check_by_calibration ON daily_check (calibration_id, verdict, shows, id);

CREATE INDEX daily_check_failed ON daily_check (calibration_id) WHERE verdict = 'failed';

CREATE TABLE suspicion_decision (
  -- What the operator made of a suspect trial. The newest row of a trial and a check counts.
  id INTEGER PRIMARY KEY,
  trial_id TEXT NOT NULL REFERENCES trial (id),
  -- The failed check whose doubt is decided.
  check_id INTEGER NOT NULL REFERENCES daily_check (id),
  decision TEXT NOT NULL CHECK (decision IN ('usable', 'excluded')),
  reason TEXT NOT NULL CHECK (length(trim(reason)) > 0),
  operator TEXT NOT NULL,
  at TEXT NOT NULL
) STRICT;

CREATE INDEX suspicion_decision_by_trial ON suspicion_decision (trial_id, id);

CREATE VIEW suspect_window AS
-- Of each failed check the time that it casts doubt on: from the last pass before it, or else from the calibration on,
-- to the next pass, or up to now. Only a pass that would have shown the failure counts: a weight in the same sense, or
-- for the shunt any pass.
SELECT failed.id AS check_id, failed.calibration_id, failed.at AS failed_at,
  coalesce((
    SELECT max(passed.at) FROM daily_check AS passed
    WHERE passed.calibration_id = failed.calibration_id AND passed.verdict = 'passed' AND passed.id < failed.id
      AND (passed.shows = failed.shows OR failed.shows = 'shunt')
  ), '') AS since,
  coalesce((
    SELECT min(passed.at) FROM daily_check AS passed
    WHERE passed.calibration_id = failed.calibration_id AND passed.verdict = 'passed' AND passed.id > failed.id
      AND (passed.shows = failed.shows OR failed.shows = 'shunt')
  ), '9999') AS until
FROM daily_check AS failed WHERE failed.verdict = 'failed';

CREATE VIEW suspect_trial AS
-- The newest failed check that bears on a trial, and what was decided. A later failure brings a new doubt on what was
-- found usable before; what was excluded stays so until somebody decides otherwise.
SELECT mark.trial_id, mark.check_id, mark.failed_at,
  CASE WHEN newest.check_id = mark.check_id OR newest.decision = 'excluded' THEN newest.decision END AS decision,
  CASE WHEN newest.check_id = mark.check_id OR newest.decision = 'excluded' THEN newest.reason END AS reason
FROM (
  SELECT trial.id AS trial_id, max(suspect_window.check_id) AS check_id, suspect_window.failed_at
  FROM suspect_window JOIN trial ON trial.calibration_id = suspect_window.calibration_id
    AND trial.started_at > suspect_window.since AND trial.started_at < suspect_window.until
  GROUP BY trial.id
) AS mark
LEFT JOIN suspicion_decision AS newest
  ON newest.id = (SELECT max(id) FROM suspicion_decision WHERE trial_id = mark.trial_id);

CREATE TRIGGER daily_check_is_never_edited BEFORE UPDATE ON daily_check
BEGIN
  SELECT RAISE(ABORT, 'daily_check only grows');
END;

CREATE TRIGGER daily_check_is_never_deleted BEFORE DELETE ON daily_check
BEGIN
  SELECT RAISE(ABORT, 'daily_check only grows');
END;

CREATE TRIGGER suspicion_decision_is_never_edited BEFORE UPDATE ON suspicion_decision
BEGIN
  SELECT RAISE(ABORT, 'suspicion_decision only grows');
END;

CREATE TRIGGER suspicion_decision_is_never_deleted BEFORE DELETE ON suspicion_decision
BEGIN
  SELECT RAISE(ABORT, 'suspicion_decision only grows');
END;

CREATE TABLE calibration_assignment (
  -- A trial is read by another calibration than it was made with, which stays in its own row. The newest row counts.
  id INTEGER PRIMARY KEY,
  trial_id TEXT NOT NULL REFERENCES trial (id),
  calibration_id TEXT NOT NULL REFERENCES calibration (id),
  reason TEXT NOT NULL CHECK (length(trim(reason)) > 0),
  operator TEXT NOT NULL,
  at TEXT NOT NULL
) STRICT;

CREATE INDEX calibration_assignment_by_trial ON calibration_assignment (trial_id, id);

CREATE TRIGGER calibration_assignment_stays_with_the_transducer BEFORE INSERT ON calibration_assignment
WHEN (SELECT transducer_id FROM trial WHERE id = NEW.trial_id)
  IS NOT (SELECT transducer_id FROM calibration WHERE id = NEW.calibration_id)
BEGIN
  SELECT RAISE(ABORT, 'a trial is read only by calibrations of its own transducer');
END;

CREATE TRIGGER calibration_assignment_is_never_edited BEFORE UPDATE ON calibration_assignment
BEGIN
  SELECT RAISE(ABORT, 'calibration_assignment only grows');
END;

CREATE TRIGGER calibration_assignment_is_never_deleted BEFORE DELETE ON calibration_assignment
BEGIN
  SELECT RAISE(ABORT, 'calibration_assignment only grows');
END;

CREATE TABLE overload (
  -- A reading beyond what transducer or rig may bear; the calibration in use then has to be checked again.
  id INTEGER PRIMARY KEY,
  transducer_id TEXT NOT NULL REFERENCES transducer (id),
  calibration_id TEXT NOT NULL REFERENCES calibration (id),
  at TEXT NOT NULL,
  torque_nm REAL NOT NULL
) STRICT;

CREATE INDEX overload_by_calibration ON overload (calibration_id, at);

CREATE TABLE rig_ringing (
  -- What a tap showed of the rig. The counts are the truth; the torque is computed from them with what stands here.
  id INTEGER PRIMARY KEY,
  transducer_id TEXT NOT NULL REFERENCES transducer (id),
  calibration_id TEXT NOT NULL,
  at TEXT NOT NULL,
  operator TEXT NOT NULL,
  sample_rate_hz REAL NOT NULL CHECK (sample_rate_hz > 0),
  zero_counts REAL NOT NULL,
  sense_sign INTEGER NOT NULL CHECK (sense_sign IN (1, -1)),
  -- From the record's first slot.
  tap_slot REAL NOT NULL CHECK (tap_slot >= 0),
  analysis_json TEXT NOT NULL CHECK (json_valid(analysis_json)),
  -- 32-bit little-endian integers, none lost.
  counts BLOB NOT NULL,
  FOREIGN KEY (calibration_id, transducer_id) REFERENCES calibration (id, transducer_id)
) STRICT;

CREATE INDEX rig_ringing_by_transducer ON rig_ringing (transducer_id, id);

CREATE TRIGGER overload_is_never_edited BEFORE UPDATE ON overload
BEGIN
  SELECT RAISE(ABORT, 'overload only grows');
END;

CREATE TRIGGER overload_is_never_deleted BEFORE DELETE ON overload
BEGIN
  SELECT RAISE(ABORT, 'overload only grows');
END;

CREATE TRIGGER rig_ringing_is_never_edited BEFORE UPDATE ON rig_ringing
BEGIN
  SELECT RAISE(ABORT, 'rig_ringing only grows');
END;

CREATE TRIGGER rig_ringing_is_never_deleted BEFORE DELETE ON rig_ringing
BEGIN
  SELECT RAISE(ABORT, 'rig_ringing only grows');
END;

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

CREATE TRIGGER tool_is_never_deleted BEFORE DELETE ON tool
BEGIN
  SELECT RAISE(ABORT, 'tool is never deleted from');
END;

CREATE TRIGGER pack_is_never_deleted BEFORE DELETE ON pack
BEGIN
  SELECT RAISE(ABORT, 'pack is never deleted from');
END;

CREATE TRIGGER setup_is_never_deleted BEFORE DELETE ON setup
BEGIN
  SELECT RAISE(ABORT, 'setup is never deleted from');
END;

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

CREATE TRIGGER run_sheet_is_never_edited BEFORE UPDATE ON run_sheet
BEGIN
  SELECT RAISE(ABORT, 'run_sheet is never edited');
END;

CREATE TRIGGER run_sheet_event_is_never_edited BEFORE UPDATE ON run_sheet_event
BEGIN
  SELECT RAISE(ABORT, 'run_sheet_event is never edited');
END;

CREATE TRIGGER run_sheet_is_never_deleted BEFORE DELETE ON run_sheet
BEGIN
  SELECT RAISE(ABORT, 'run_sheet is never deleted from');
END;

CREATE TRIGGER run_sheet_entry_is_never_deleted BEFORE DELETE ON run_sheet_entry
BEGIN
  SELECT RAISE(ABORT, 'run_sheet_entry is never deleted from');
END;

CREATE TRIGGER run_sheet_event_is_never_deleted BEFORE DELETE ON run_sheet_event
BEGIN
  SELECT RAISE(ABORT, 'run_sheet_event is never deleted from');
END;

CREATE INDEX trial_by_entry ON trial (entry_id, started_at, id, state, is_voided) WHERE entry_id IS NOT NULL;

CREATE INDEX trial_by_run_sheet ON trial (run_sheet_id, started_at, id, entry_id, state, is_voided)
  WHERE run_sheet_id IS NOT NULL;

CREATE INDEX trial_by_session_and_setup ON trial (session_id, setup_id, started_at) WHERE setup_id IS NOT NULL;

CREATE TRIGGER trial_conditions_are_fixed
BEFORE UPDATE OF id, session_id, started_at, tool_name, tool_name_folded, kind, direction, planned_s, preload_nm,
  is_simulated, transducer_id, transducer_json, calibration_id, amplifier_id, amplifier_name, profile_json,
  clock_source, zero_counts, noise_nm, onset_level_nm, software_version, definition_version, setup_json, run_sheet_id,
  entry_id, place_json, preparation_json, rested_s, planned_rest_s
ON trial
BEGIN
  SELECT RAISE(ABORT, 'what a trial was made with is never edited');
END;

CREATE TABLE trial_annotation (
  -- Note and tags of a trial, whole each time. The newest row counts.
  id INTEGER PRIMARY KEY,
  trial_id TEXT NOT NULL REFERENCES trial (id),
  note TEXT NOT NULL,
  tags_json TEXT NOT NULL CHECK (json_valid(tags_json)),
  operator TEXT NOT NULL,
  at TEXT NOT NULL
) STRICT;

CREATE INDEX trial_annotation_by_trial ON trial_annotation (trial_id, id);

CREATE TABLE relabelling (
  -- Tool and setup put right on a trial that has ended; what it was made with stays in its own row. The newest row counts.
  id INTEGER PRIMARY KEY,
  trial_id TEXT NOT NULL REFERENCES trial (id),
  tool_name TEXT NOT NULL CHECK (length(tool_name) BETWEEN 1 AND 80),
  setup_json TEXT CHECK (json_valid(setup_json)),
  reason TEXT NOT NULL CHECK (length(trim(reason)) > 0),
  operator TEXT NOT NULL,
  at TEXT NOT NULL
) STRICT;

CREATE INDEX relabelling_by_trial ON relabelling (trial_id, id);

CREATE TRIGGER relabelling_waits_for_the_end BEFORE INSERT ON relabelling
WHEN (SELECT state FROM trial WHERE id = NEW.trial_id) = 'recording'
BEGIN
  SELECT RAISE(ABORT, 'a trial is relabelled when it has ended');
END;

CREATE TRIGGER trial_annotation_is_never_edited BEFORE UPDATE ON trial_annotation
BEGIN
  SELECT RAISE(ABORT, 'trial_annotation only grows');
END;

CREATE TRIGGER trial_annotation_is_never_deleted BEFORE DELETE ON trial_annotation
BEGIN
  SELECT RAISE(ABORT, 'trial_annotation only grows');
END;

CREATE TRIGGER relabelling_is_never_edited BEFORE UPDATE ON relabelling
BEGIN
  SELECT RAISE(ABORT, 'relabelling only grows');
END;

CREATE TRIGGER relabelling_is_never_deleted BEFORE DELETE ON relabelling
BEGIN
  SELECT RAISE(ABORT, 'relabelling only grows');
END;

CREATE TABLE trial_tag (
  -- The tags of the newest annotation, for finding and counting.
  tag_folded TEXT NOT NULL,
  trial_id TEXT NOT NULL REFERENCES trial (id),
  tag TEXT NOT NULL,
  PRIMARY KEY (tag_folded, trial_id)
) STRICT, WITHOUT ROWID;

CREATE INDEX trial_tag_by_trial ON trial_tag (trial_id);

CREATE INDEX trial_by_start ON trial (
  started_at, id, state, is_voided, kind, direction, newest_verdict, role, session_id, run_sheet_id,
  shown_setup_id, shown_sustained_nm, shown_tool_name_folded, search_text
);

CREATE INDEX trial_by_definition ON trial (newest_definition, started_at DESC, id, state)
WHERE newest_definition IS NOT NULL;

CREATE TRIGGER evaluation_is_listed AFTER INSERT ON trial_evaluation
BEGIN
  UPDATE trial SET newest_definition = NEW.definition_version, newest_verdict = NEW.quality_verdict,
    newest_sustained_nm = NEW.sustained_torque_nm,
    shown_sustained_nm = CASE WHEN has_been_kept = 1 THEN NEW.sustained_torque_nm END
  WHERE id = NEW.trial_id;
END;

CREATE TRIGGER keeping_is_listed AFTER INSERT ON trial_decision WHEN NEW.decision = 'kept'
BEGIN
  UPDATE trial SET has_been_kept = 1, shown_sustained_nm = newest_sustained_nm WHERE id = NEW.trial_id;
END;

CREATE INDEX session_by_start ON session (started_at DESC, id DESC);

CREATE TRIGGER session_that_has_ended_stays BEFORE UPDATE ON session WHEN OLD.ended_at IS NOT NULL
BEGIN
  SELECT RAISE(ABORT, 'a session that has ended is not changed');
END;

CREATE TABLE tool_details (
  -- A tool as it was known from then on, whole each time. The newest row counts; the older ones are its history.
  id INTEGER PRIMARY KEY,
  tool_id TEXT NOT NULL REFERENCES tool (id),
  tool_json TEXT NOT NULL CHECK (json_valid(tool_json)),
  details_json TEXT NOT NULL CHECK (json_valid(details_json)),
  operator TEXT NOT NULL,
  at TEXT NOT NULL
) STRICT;

CREATE INDEX tool_details_by_tool ON tool_details (tool_id, id);

CREATE TABLE tool_merge (
  -- Two entries were found to be one tool; null: that was taken back. The newest row of a tool counts.
  id INTEGER PRIMARY KEY,
  tool_id TEXT NOT NULL REFERENCES tool (id),
  into_tool_id TEXT REFERENCES tool (id),
  reason TEXT NOT NULL CHECK (length(trim(reason)) > 0),
  operator TEXT NOT NULL,
  at TEXT NOT NULL,
  CHECK (into_tool_id IS NULL OR into_tool_id <> tool_id)
) STRICT;

CREATE INDEX tool_merge_by_tool ON tool_merge (tool_id, id);

CREATE TABLE tool_photo (
  id TEXT PRIMARY KEY,
  tool_id TEXT NOT NULL REFERENCES tool (id),
  caption TEXT NOT NULL,
  media_type TEXT NOT NULL,
  added_at TEXT NOT NULL,
  -- Last, so that a list of photos does not read through the pictures.
  bytes BLOB NOT NULL
) STRICT;

CREATE INDEX tool_photo_by_tool ON tool_photo (tool_id, added_at);

CREATE TABLE handling_rating (
  -- A judgement. The newest of a rater and tool counts, unless it was withdrawn.
  id INTEGER PRIMARY KEY,
  tool_id TEXT NOT NULL REFERENCES tool (id),
  rater TEXT NOT NULL CHECK (length(rater) BETWEEN 1 AND 80),
  rater_folded TEXT NOT NULL,
  score REAL NOT NULL CHECK (score BETWEEN 1 AND 10),
  -- Entered before its rater could see the figures of the tool.
  is_blind INTEGER NOT NULL CHECK (is_blind IN (0, 1)),
  note TEXT NOT NULL,
  at TEXT NOT NULL
) STRICT;

CREATE INDEX handling_rating_by_tool ON handling_rating (tool_id, rater_folded, id);

CREATE TABLE rating_withdrawal (
  rating_id INTEGER PRIMARY KEY REFERENCES handling_rating (id),
  reason TEXT NOT NULL CHECK (length(trim(reason)) > 0),
  operator TEXT NOT NULL,
  at TEXT NOT NULL
) STRICT;

CREATE TABLE exchange_rate (
  -- One unit of currency is rate units of in_currency, from that day on.
  id INTEGER PRIMARY KEY,
  currency TEXT NOT NULL,
  in_currency TEXT NOT NULL,
  rate REAL NOT NULL CHECK (rate > 0),
  on_day TEXT NOT NULL,
  source TEXT NOT NULL,
  operator TEXT NOT NULL,
  at TEXT NOT NULL,
  CHECK (currency <> in_currency)
) STRICT;

CREATE TRIGGER tool_details_is_never_edited BEFORE UPDATE ON tool_details
BEGIN
  SELECT RAISE(ABORT, 'tool_details only grows');
END;

CREATE TRIGGER tool_details_is_never_deleted BEFORE DELETE ON tool_details
BEGIN
  SELECT RAISE(ABORT, 'tool_details only grows');
END;

CREATE TRIGGER tool_merge_is_never_edited BEFORE UPDATE ON tool_merge
BEGIN
  SELECT RAISE(ABORT, 'tool_merge only grows');
END;

CREATE TRIGGER tool_merge_is_never_deleted BEFORE DELETE ON tool_merge
BEGIN
  SELECT RAISE(ABORT, 'tool_merge only grows');
END;

CREATE TRIGGER handling_rating_is_never_edited BEFORE UPDATE ON handling_rating
BEGIN
  SELECT RAISE(ABORT, 'handling_rating only grows');
END;

CREATE TRIGGER handling_rating_is_never_deleted BEFORE DELETE ON handling_rating
BEGIN
  SELECT RAISE(ABORT, 'handling_rating only grows');
END;

CREATE TRIGGER rating_withdrawal_is_never_edited BEFORE UPDATE ON rating_withdrawal
BEGIN
  SELECT RAISE(ABORT, 'rating_withdrawal only grows');
END;

CREATE TRIGGER rating_withdrawal_is_never_deleted BEFORE DELETE ON rating_withdrawal
BEGIN
  SELECT RAISE(ABORT, 'rating_withdrawal only grows');
END;

CREATE TRIGGER exchange_rate_is_never_edited BEFORE UPDATE ON exchange_rate
BEGIN
  SELECT RAISE(ABORT, 'exchange_rate only grows');
END;

CREATE TRIGGER exchange_rate_is_never_deleted BEFORE DELETE ON exchange_rate
BEGIN
  SELECT RAISE(ABORT, 'exchange_rate only grows');
END;

CREATE TABLE comparison_margin (
  -- The difference that matters, for sessions that begin after it. The newest row of a figure counts.
  id INTEGER PRIMARY KEY,
  figure TEXT NOT NULL,
  margin_percent REAL NOT NULL CHECK (margin_percent > 0),
  operator TEXT NOT NULL,
  at TEXT NOT NULL
) STRICT;

CREATE TRIGGER comparison_margin_is_never_edited BEFORE UPDATE ON comparison_margin
BEGIN
  SELECT RAISE(ABORT, 'comparison_margin only grows');
END;

CREATE TRIGGER comparison_margin_is_never_deleted BEFORE DELETE ON comparison_margin
BEGIN
  SELECT RAISE(ABORT, 'comparison_margin only grows');
END;

CREATE TABLE scheme_version (
  -- Rules for points. Never edited: a change is the next version.
  scheme_id TEXT NOT NULL,
  version INTEGER NOT NULL CHECK (version >= 1),
  scheme_json TEXT NOT NULL CHECK (json_valid(scheme_json)),
  operator TEXT NOT NULL,
  created_at TEXT NOT NULL,
  PRIMARY KEY (scheme_id, version)
) STRICT, WITHOUT ROWID;

CREATE TABLE archived_scheme (
  scheme_id TEXT PRIMARY KEY
) STRICT, WITHOUT ROWID;

CREATE TABLE standings_table (
  id TEXT PRIMARY KEY,
  table_json TEXT NOT NULL CHECK (json_valid(table_json)),
  is_archived INTEGER NOT NULL CHECK (is_archived IN (0, 1)),
  created_at TEXT NOT NULL
) STRICT;

CREATE TABLE edition (
  -- Standings as they were, with all they were computed from.
  id TEXT PRIMARY KEY,
  table_id TEXT NOT NULL REFERENCES standings_table (id),
  name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 80),
  note TEXT NOT NULL,
  operator TEXT NOT NULL,
  created_at TEXT NOT NULL,
  definition_version INTEGER NOT NULL,
  software_version TEXT NOT NULL,
  -- SHA-256 of the content before it was packed.
  fingerprint TEXT NOT NULL,
  -- JSON of an edition without its summary, brotli.
  content BLOB NOT NULL
) STRICT;

CREATE INDEX edition_by_table ON edition (table_id, created_at DESC);

CREATE TRIGGER scheme_version_is_never_edited BEFORE UPDATE ON scheme_version
BEGIN
  SELECT RAISE(ABORT, 'scheme_version only grows');
END;

CREATE TRIGGER scheme_version_is_never_deleted BEFORE DELETE ON scheme_version
BEGIN
  SELECT RAISE(ABORT, 'scheme_version only grows');
END;

CREATE TRIGGER edition_is_never_edited BEFORE UPDATE ON edition
BEGIN
  SELECT RAISE(ABORT, 'edition only grows');
END;

CREATE TRIGGER edition_is_never_deleted BEFORE DELETE ON edition
BEGIN
  SELECT RAISE(ABORT, 'edition only grows');
END;

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

CREATE TRIGGER import_is_never_edited BEFORE UPDATE ON import
BEGIN
  SELECT RAISE(ABORT, 'import only grows');
END;

CREATE TRIGGER import_is_never_deleted BEFORE DELETE ON import
BEGIN
  SELECT RAISE(ABORT, 'import only grows');
END;

CREATE TRIGGER imported_row_is_never_edited BEFORE UPDATE ON imported_row
BEGIN
  SELECT RAISE(ABORT, 'imported_row only grows');
END;

CREATE TRIGGER imported_row_is_never_deleted BEFORE DELETE ON imported_row
BEGIN
  SELECT RAISE(ABORT, 'imported_row only grows');
END;

CREATE TRIGGER sync_mark_is_never_edited BEFORE UPDATE ON sync_mark
BEGIN
  SELECT RAISE(ABORT, 'sync_mark only grows');
END;

CREATE TRIGGER sync_mark_is_never_deleted BEFORE DELETE ON sync_mark
BEGIN
  SELECT RAISE(ABORT, 'sync_mark only grows');
END;

CREATE TABLE score_group (
  -- What has to be alike for scores to be compared, and is of many trials at once. Follows from the evaluations, as trial_score does.
  id INTEGER PRIMARY KEY,
  calibration_id TEXT NOT NULL,
  definition_version INTEGER NOT NULL,
  kind TEXT NOT NULL,
  direction TEXT NOT NULL,
  planned_s REAL NOT NULL,
  preload_nm REAL,
  is_simulated INTEGER NOT NULL,
  transducer_id TEXT NOT NULL,
  rig_revision TEXT NOT NULL,
  nominal_rate_hz REAL NOT NULL,
  anti_alias_bandwidth_hz REAL,
  window_s REAL NOT NULL
) STRICT;

CREATE UNIQUE INDEX score_group_is_one ON score_group (calibration_id, definition_version, kind, direction, planned_s, coalesce(preload_nm, -1), is_simulated, transducer_id, rig_revision, nominal_rate_hz, coalesce(anti_alias_bandwidth_hz, -1), window_s);

CREATE INDEX score_group_by_step ON score_group (kind, direction, planned_s, is_simulated);

CREATE TABLE trial_score (
  -- Of the newest evaluation of a trial what is compared and scored, in plain columns.
  -- It follows from the evaluations and may be computed anew at any time. Null: the curve does not carry it.
  trial_id TEXT PRIMARY KEY REFERENCES trial (id),
  group_id INTEGER NOT NULL REFERENCES score_group (id),
  evaluation_id INTEGER NOT NULL REFERENCES trial_evaluation (id),
  onset_level_nm REAL NOT NULL,
  -- Of its place in a run sheet; null: outside of one.
  round INTEGER,
  sustained_nm REAL,
  final_nm REAL,
  torque_at_1_nm REAL,
  torque_at_2_nm REAL,
  torque_at_3_nm REAL,
  torque_at_5_nm REAL,
  torque_at_10_nm REAL,
  torque_at_15_nm REAL,
  time_to_90_s REAL,
  stall_nm REAL,
  released_preload_nm REAL,
  last_nm REAL,
  -- As the figures have it: levelNm and timeS each.
  time_to_level_json TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX trial_score_by_group ON trial_score (group_id);

CREATE TRIGGER evaluation_is_scored AFTER INSERT ON trial_evaluation
BEGIN
  DELETE FROM trial_score WHERE trial_id = NEW.trial_id;
  INSERT INTO score_group (calibration_id, definition_version, kind, direction, planned_s, preload_nm, is_simulated, transducer_id, rig_revision, nominal_rate_hz, anti_alias_bandwidth_hz, window_s)
  SELECT NEW.calibration_id, NEW.definition_version, trial.kind, trial.direction, trial.planned_s, trial.preload_nm, trial.is_simulated, trial.transducer_id, coalesce(trial.transducer_json ->> '$.rigRevision', ''), trial.profile_json ->> '$.nominalRateHz', trial.profile_json ->> '$.antiAliasBandwidthHz', NEW.figures_json ->> '$.windowS' FROM trial WHERE trial.id = NEW.trial_id AND json_type(NEW.figures_json, '$.windowS') IN ('integer', 'real')
    AND json_type(NEW.figures_json, '$.onsetLevelNm') IN ('integer', 'real')
    AND json_type(NEW.figures_json, '$.timeToLevel') = 'array'
  ON CONFLICT DO NOTHING;
  INSERT INTO trial_score (trial_id, group_id, evaluation_id, onset_level_nm, round, sustained_nm, final_nm, torque_at_1_nm, torque_at_2_nm, torque_at_3_nm, torque_at_5_nm, torque_at_10_nm, torque_at_15_nm, time_to_90_s, stall_nm, released_preload_nm, last_nm, time_to_level_json)
  SELECT NEW.trial_id, alike.id, NEW.id, NEW.figures_json ->> '$.onsetLevelNm', trial.place_json ->> '$.round',
    NEW.figures_json ->> '$.sustainedTorqueNm.value',
    NEW.figures_json ->> '$.finalTorqueNm.value',
    (SELECT value ->> '$.torqueNm.value' FROM json_each(NEW.figures_json, '$.torqueAt') WHERE value ->> '$.atS' = 1),
    (SELECT value ->> '$.torqueNm.value' FROM json_each(NEW.figures_json, '$.torqueAt') WHERE value ->> '$.atS' = 2),
    (SELECT value ->> '$.torqueNm.value' FROM json_each(NEW.figures_json, '$.torqueAt') WHERE value ->> '$.atS' = 3),
    (SELECT value ->> '$.torqueNm.value' FROM json_each(NEW.figures_json, '$.torqueAt') WHERE value ->> '$.atS' = 5),
    (SELECT value ->> '$.torqueNm.value' FROM json_each(NEW.figures_json, '$.torqueAt') WHERE value ->> '$.atS' = 10),
    (SELECT value ->> '$.torqueNm.value' FROM json_each(NEW.figures_json, '$.torqueAt') WHERE value ->> '$.atS' = 15),
    NEW.figures_json ->> '$.timeTo90PercentS.value',
    NEW.figures_json ->> '$.stallTorqueNm.value',
    CASE WHEN NEW.figures_json ->> '$.breakaway.releasedAtS' IS NOT NULL THEN NEW.figures_json ->> '$.breakaway.preloadNm' END,
    NEW.figures_json ->> '$.endurance.lastNm', NEW.figures_json -> '$.timeToLevel'
  FROM trial JOIN score_group AS alike ON alike.calibration_id IS NEW.calibration_id
    AND alike.definition_version IS NEW.definition_version
    AND alike.kind IS trial.kind
    AND alike.direction IS trial.direction
    AND alike.planned_s IS trial.planned_s
    AND alike.preload_nm IS trial.preload_nm
    AND alike.is_simulated IS trial.is_simulated
    AND alike.transducer_id IS trial.transducer_id
    AND alike.rig_revision IS coalesce(trial.transducer_json ->> '$.rigRevision', '')
    AND alike.nominal_rate_hz IS trial.profile_json ->> '$.nominalRateHz'
    AND alike.anti_alias_bandwidth_hz IS trial.profile_json ->> '$.antiAliasBandwidthHz'
    AND alike.window_s IS NEW.figures_json ->> '$.windowS'
  WHERE trial.id = NEW.trial_id AND json_type(NEW.figures_json, '$.windowS') IN ('integer', 'real')
    AND json_type(NEW.figures_json, '$.onsetLevelNm') IN ('integer', 'real')
    AND json_type(NEW.figures_json, '$.timeToLevel') = 'array';
END;
