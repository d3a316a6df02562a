import type BetterSqlite3 from 'better-sqlite3';

/**
 * Calibrations of guided runs with how long they hold, daily checks and what they make of the trials around them,
 * trials that are read by another calibration than they were made with, overloads, and how the rig rings.
 */
export function checkCalibrations(database: BetterSqlite3.Database): void {
  database.exec(calibrations);
  database.exec(dailyChecks);
  database.exec(assignments);
  database.exec(rig);
}

const calibrations = `
-- Where the fit is more than a line through the zero; null: the gain says it all.
ALTER TABLE calibration ADD COLUMN forward_curve_json TEXT CHECK (json_valid(forward_curve_json));
ALTER TABLE calibration ADD COLUMN reverse_curve_json TEXT CHECK (json_valid(reverse_curve_json));
-- The guided run behind it and what that came to, with its uncertainty; both null where the values were entered.
ALTER TABLE calibration ADD COLUMN run_id TEXT REFERENCES calibration_run (id);
ALTER TABLE calibration ADD COLUMN result_json TEXT CHECK (json_valid(result_json));
-- The last calendar day on which it holds, and the number of trials it holds for; null: no such limit.
ALTER TABLE calibration ADD COLUMN valid_until TEXT;
ALTER TABLE calibration ADD COLUMN valid_for_trials INTEGER CHECK (valid_for_trials > 0);

DROP TRIGGER calibration_is_never_edited;
CREATE TRIGGER calibration_is_never_edited
BEFORE UPDATE OF id, transducer_id, amplifier_id, label, method, forward_gain_nm_per_count, forward_valid_to_nm,
  forward_curve_json, reverse_gain_nm_per_count, reverse_valid_to_nm, reverse_curve_json, entered_uncertainty_percent,
  input_json, run_id, result_json, valid_until, valid_for_trials, operator, note, created_at
ON calibration
BEGIN
  SELECT RAISE(ABORT, 'a calibration version is never edited, only superseded');
END;

-- For the trials of a calibration and those between two of its checks, without reading the wide rows.
CREATE INDEX trial_by_calibration ON trial (calibration_id, started_at, id, state, is_voided);
`;

const dailyChecks = `
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
${['daily_check', 'suspicion_decision'].map(refuseChanges).join('')}`;

const assignments = `
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
${refuseChanges('calibration_assignment')}`;

const rig = `
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
${['overload', 'rig_ringing'].map(refuseChanges).join('')}`;

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
