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
  active_calibration_id TEXT,
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
  supersede_reason TEXT, amplifier_id TEXT REFERENCES amplifier (id),
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
) STRICT;

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
  zero_after_counts REAL, amplifier_id TEXT REFERENCES amplifier (id), amplifier_name TEXT, rate_standard_error_hz REAL CHECK (rate_standard_error_hz >= 0),

  FOREIGN KEY (calibration_id, transducer_id) REFERENCES calibration (id, transducer_id),
  CHECK (state <> 'interrupted' OR interruption IS NOT NULL),
  CHECK (state NOT IN ('recording', 'reviewing') OR interruption IS NULL),
  CHECK (state <> 'recording' OR is_voided = 0)
) STRICT;

CREATE INDEX trial_by_start ON trial (
  -- All that finding and counting a page of the list needs, so that the wide rows are read for one page only.
  started_at DESC, id DESC, tool_name_folded, state, is_voided
);

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
  at TEXT NOT NULL,
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

CREATE TRIGGER calibration_is_never_edited
BEFORE UPDATE OF id, transducer_id, amplifier_id, label, method, forward_gain_nm_per_count, forward_valid_to_nm,
  reverse_gain_nm_per_count, reverse_valid_to_nm, entered_uncertainty_percent, input_json, operator, note, created_at
ON calibration
BEGIN
  SELECT RAISE(ABORT, 'a calibration version is never edited, only superseded');
END;

CREATE TRIGGER trial_conditions_are_fixed
BEFORE UPDATE OF id, session_id, started_at, tool_name, tool_name_folded, kind, direction, planned_s, is_simulated,
  transducer_id, transducer_json, calibration_id, amplifier_id, amplifier_name, profile_json, clock_source, zero_counts,
  noise_nm, onset_level_nm, software_version, definition_version
ON trial
BEGIN
  SELECT RAISE(ABORT, 'what a trial was made with is never edited');
END;
