import type BetterSqlite3 from 'better-sqlite3';

/**
 * Notes, tags and names put right, which only grow; what the list of trials shows, finds and sorts by, in columns that
 * follow from those rows; and what is around a session. Trials from before have neither note nor another name.
 */
export function keepLogbook(database: BetterSqlite3.Database): void {
  database.exec(trail);
  database.exec(listing);
  fillListing(database);
  database.exec(listingFollows);
  database.exec(sessions);
}

const trail = `
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
${['trial_annotation', 'relabelling'].map(refuseChanges).join('')}`;

const listing = `
-- What the list of trials shows, finds and sorts by. All of it follows from rows that only grow and is written in the same
-- transaction as they are; it may be computed anew at any time. Plain columns: an index with generated ones is not read
-- in place of the table.
ALTER TABLE trial ADD COLUMN shown_tool_name TEXT NOT NULL DEFAULT '';
ALTER TABLE trial ADD COLUMN shown_tool_name_folded TEXT NOT NULL DEFAULT '';
ALTER TABLE trial ADD COLUMN shown_setup_json TEXT CHECK (json_valid(shown_setup_json));
ALTER TABLE trial ADD COLUMN shown_setup_id TEXT;
ALTER TABLE trial ADD COLUMN role TEXT;
ALTER TABLE trial ADD COLUMN has_note INTEGER NOT NULL DEFAULT 0 CHECK (has_note IN (0, 1));
ALTER TABLE trial ADD COLUMN tags_json TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(tags_json));
-- Tool, setup, note and tags, folded, a line each.
ALTER TABLE trial ADD COLUMN search_text TEXT NOT NULL DEFAULT '';
-- Of the newest evaluation; null: never measured.
ALTER TABLE trial ADD COLUMN newest_definition INTEGER;
ALTER TABLE trial ADD COLUMN newest_verdict TEXT;
ALTER TABLE trial ADD COLUMN newest_sustained_nm REAL;
-- Whoever sees torque before a trial was ever kept could pick results by it.
ALTER TABLE trial ADD COLUMN has_been_kept INTEGER NOT NULL DEFAULT 0 CHECK (has_been_kept IN (0, 1));
ALTER TABLE trial ADD COLUMN shown_sustained_nm REAL;

UPDATE trial SET
  shown_tool_name = tool_name,
  shown_tool_name_folded = tool_name_folded,
  shown_setup_json = setup_json,
  shown_setup_id = setup_id,
  role = place_json ->> '$.role',
  has_been_kept = EXISTS (SELECT 1 FROM trial_decision WHERE trial_id = trial.id AND decision = 'kept');
UPDATE trial SET
  newest_definition = newest.definition_version,
  newest_verdict = newest.quality_verdict,
  newest_sustained_nm = newest.sustained_torque_nm,
  shown_sustained_nm = CASE WHEN has_been_kept = 1 THEN newest.sustained_torque_nm END
FROM trial_evaluation AS newest
WHERE newest.id = (SELECT max(id) FROM trial_evaluation WHERE trial_id = trial.id);

CREATE TABLE trial_tag (
  -- The tags of the newest annotation, for finding and counting.
  tag_folded TEXT NOT NULL,
  trial_id TEXT NOT NULL REFERENCES trial (id),
  tag TEXT NOT NULL,
  PRIMARY KEY (tag_folded, trial_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX trial_tag_by_trial ON trial_tag (trial_id);
`;

/** Here rather than in SQL, which folds ASCII only. */
function fillListing(database: BetterSqlite3.Database): void {
  const update = database.prepare<[string, string]>('UPDATE trial SET search_text = ? WHERE id = ?');
  const trials = database
    .prepare<[], { id: string; texts: string }>(
      `SELECT id, json_array(tool_name, setup_json ->> '$.packName', setup_json ->> '$.setting',
         setup_json ->> '$.socket.name') AS texts
       FROM trial`,
    )
    .all();
  for (const { id, texts } of trials) {
    const words = (JSON.parse(texts) as (string | null)[]).filter((text) => text !== null && text !== '');
    update.run(words.join('\n').normalize('NFKC').toLowerCase(), id);
  }
}

const listingFollows = `
-- All that finding, counting and sorting need, so that the wide rows are read for one page only. Rising, since rows that
-- come at the end fill its pages, and those at its start leave them half empty.
DROP INDEX trial_by_start;
CREATE INDEX trial_by_start ON trial (
  started_at, id, state, is_voided, kind, direction, newest_verdict, role, session_id, run_sheet_id,
  shown_setup_id, shown_sustained_nm, shown_tool_name_folded, search_text
);
-- Those that are to be measured anew, in that order.
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
`;

const sessions = `
-- Null: it goes on, or was left without being ended.
ALTER TABLE session ADD COLUMN ended_at TEXT;
ALTER TABLE session ADD COLUMN rig_note TEXT NOT NULL DEFAULT '';
-- Around the bench; null: not noted.
ALTER TABLE session ADD COLUMN ambient_c REAL;
ALTER TABLE session ADD COLUMN relative_humidity_percent REAL CHECK (relative_humidity_percent BETWEEN 0 AND 100);
ALTER TABLE session ADD COLUMN air_pressure_hpa REAL CHECK (air_pressure_hpa > 0);

CREATE INDEX session_by_start ON session (started_at DESC, id DESC);
CREATE TRIGGER session_that_has_ended_stays BEFORE UPDATE ON session WHEN OLD.ended_at IS NOT NULL
BEGIN
  SELECT RAISE(ABORT, 'a session that has ended is not changed');
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
