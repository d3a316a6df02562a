import type BetterSqlite3 from 'better-sqlite3';

/**
 * What is known of tools, ratings, margins, schemes, tables and editions, and of each measured trial the values that are compared and
 * scored, in columns of their own.
 */
export function compareTools(database: BetterSqlite3.Database): void {
  database.exec(catalogue);
  database.exec(comparing);
  database.exec(standings);
  database.exec(scores);
}

const catalogue = `
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
${['tool_details', 'tool_merge', 'handling_rating', 'rating_withdrawal', 'exchange_rate'].map(refuseChanges).join('')}`;

const comparing = `
-- What holds the transducer, as its owner counts it; another one is another bench.
ALTER TABLE transducer ADD COLUMN rig_revision TEXT NOT NULL DEFAULT '';

CREATE TABLE comparison_margin (
  -- The difference that matters, for sessions that begin after it. The newest row of a figure counts.
  id INTEGER PRIMARY KEY,
  figure TEXT NOT NULL,
  margin_percent REAL NOT NULL CHECK (margin_percent > 0),
  operator TEXT NOT NULL,
  at TEXT NOT NULL
) STRICT;
${refuseChanges('comparison_margin')}`;

const standings = `
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
${['scheme_version', 'edition'].map(refuseChanges).join('')}`;

const scored = (trial: string): string => `
  ${trial}.trial_id, ${trial}.id, ${trial}.calibration_id, ${trial}.definition_version,
  trial.kind, trial.direction, trial.planned_s, trial.preload_nm, trial.is_simulated,
  trial.transducer_id, coalesce(trial.transducer_json ->> '$.rigRevision', ''),
  trial.profile_json ->> '$.nominalRateHz', trial.profile_json ->> '$.antiAliasBandwidthHz',
  ${trial}.figures_json ->> '$.windowS', ${trial}.figures_json ->> '$.onsetLevelNm', trial.place_json ->> '$.round',
  ${trial}.figures_json ->> '$.sustainedTorqueNm.value', ${trial}.figures_json ->> '$.finalTorqueNm.value',
  ${[1, 2, 3, 5, 10, 15].map((atS) => torqueAt(trial, atS)).join(',\n  ')},
  ${trial}.figures_json ->> '$.timeTo90PercentS.value', ${trial}.figures_json -> '$.timeToLevel',
  ${trial}.figures_json ->> '$.stallTorqueNm.value',
  CASE WHEN ${trial}.figures_json ->> '$.breakaway.releasedAtS' IS NOT NULL
    THEN ${trial}.figures_json ->> '$.breakaway.preloadNm' END,
  ${trial}.figures_json ->> '$.endurance.lastNm'`;

function torqueAt(trial: string, atS: number): string {
  return `(SELECT value ->> '$.torqueNm.value' FROM json_each(${trial}.figures_json, '$.torqueAt')
    WHERE value ->> '$.atS' = ${atS})`;
}

/** What this program never wrote, after damage or by another hand, is no score; reading the trial itself says what is wrong. */
function isScorable(trial: string): string {
  return `json_type(${trial}.figures_json, '$.windowS') IN ('integer', 'real')
  AND json_type(${trial}.figures_json, '$.onsetLevelNm') IN ('integer', 'real')
  AND json_type(${trial}.figures_json, '$.timeToLevel') = 'array'`;
}

const scores = `
CREATE TABLE trial_score (
  -- Of the newest evaluation of a trial what is compared and scored, in plain columns, with what has to be alike for that.
  -- It follows from the evaluations and may be computed anew at any time. Null: the curve does not carry it.
  trial_id TEXT PRIMARY KEY REFERENCES trial (id),
  evaluation_id INTEGER NOT NULL REFERENCES trial_evaluation (id),
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
  window_s REAL NOT NULL,
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
  -- As the figures have it: levelNm and timeS each.
  time_to_level_json TEXT NOT NULL,
  stall_nm REAL,
  released_preload_nm REAL,
  last_nm REAL
) STRICT, WITHOUT ROWID;
CREATE INDEX trial_score_by_step ON trial_score (kind, direction, planned_s, is_simulated);

INSERT INTO trial_score
SELECT ${scored('newest')}
FROM trial_evaluation AS newest JOIN trial ON trial.id = newest.trial_id
WHERE newest.id = (SELECT max(id) FROM trial_evaluation WHERE trial_id = newest.trial_id)
  AND ${isScorable('newest')};

CREATE TRIGGER evaluation_is_scored AFTER INSERT ON trial_evaluation
BEGIN
  DELETE FROM trial_score WHERE trial_id = NEW.trial_id;
  INSERT INTO trial_score SELECT ${scored('NEW')} FROM trial WHERE trial.id = NEW.trial_id
  AND ${isScorable('NEW')};
END;
`;

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
