import type BetterSqlite3 from 'better-sqlite3';

/**
 * Profiles of the user's own, amplifiers that were connected, and with which of them a calibration and a trial were made.
 * Calibrations and trials from before name none.
 */
export function keepAmplifiers(database: BetterSqlite3.Database): void {
  database.exec(profiles);
  database.exec(amplifiers);
  database.exec(calibrations);
  database.exec(trials);
}

const profiles = `
CREATE TABLE amplifier_profile (
  id TEXT PRIMARY KEY,
  profile_json TEXT NOT NULL CHECK (json_valid(profile_json))
) STRICT, WITHOUT ROWID;
`;

const amplifiers = `
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
`;

const calibrations = `
-- Null: made with no amplifier connected, or before they were kept.
ALTER TABLE calibration ADD COLUMN amplifier_id TEXT REFERENCES amplifier (id);

DROP TRIGGER calibration_is_never_edited;
CREATE TRIGGER calibration_is_never_edited
BEFORE UPDATE OF id, transducer_id, amplifier_id, label, method, forward_gain_nm_per_count, forward_valid_to_nm,
  reverse_gain_nm_per_count, reverse_valid_to_nm, entered_uncertainty_percent, input_json, operator, note, created_at
ON calibration
BEGIN
  SELECT RAISE(ABORT, 'a calibration version is never edited, only superseded');
END;
`;

const trials = `
-- The name as it was when the trial began; both null for one that was not made with a kept amplifier.
ALTER TABLE trial ADD COLUMN amplifier_id TEXT REFERENCES amplifier (id);
ALTER TABLE trial ADD COLUMN amplifier_name TEXT;
-- Of the rate that was fitted; null where there were too few blocks, or before it was kept.
ALTER TABLE trial ADD COLUMN rate_standard_error_hz REAL CHECK (rate_standard_error_hz >= 0);

DROP TRIGGER trial_conditions_are_fixed;
CREATE TRIGGER trial_conditions_are_fixed
BEFORE UPDATE OF id, session_id, started_at, tool_name, tool_name_folded, kind, direction, planned_s, is_simulated,
  transducer_id, transducer_json, calibration_id, amplifier_id, amplifier_name, profile_json, clock_source, zero_counts,
  noise_nm, onset_level_nm, software_version, definition_version
ON trial
BEGIN
  SELECT RAISE(ABORT, 'what a trial was made with is never edited');
END;
`;
