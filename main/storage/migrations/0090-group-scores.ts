import type BetterSqlite3 from 'better-sqlite3';

/**
 * What thousands of scores have alike stands once: standings read every score each time somebody looks at them, and made the same
 * texts anew for each.
 */
export function groupScores(database: BetterSqlite3.Database): void {
  database.exec(`
DROP TRIGGER evaluation_is_scored;
ALTER TABLE trial_score RENAME TO score_before;
DROP INDEX trial_score_by_step;

CREATE TABLE score_group (
  -- What has to be alike for scores to be compared, and is of many trials at once. Follows from the evaluations, as trial_score does.
  id INTEGER PRIMARY KEY,
${groupColumns.map(({ name, type }) => `  ${name} ${type}`).join(',\n')}
) STRICT;
CREATE UNIQUE INDEX score_group_is_one ON score_group (${groupColumns.map(indexed).join(', ')});
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
${valueColumns.map(({ name }) => `  ${name} REAL`).join(',\n')},
  -- As the figures have it: levelNm and timeS each.
  time_to_level_json TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX trial_score_by_group ON trial_score (group_id);

INSERT INTO score_group (${groupNames})
SELECT DISTINCT ${groupNames} FROM score_before;
INSERT INTO trial_score (${ownNames})
SELECT trial_id, (SELECT id FROM score_group AS alike WHERE ${groupColumns.map(({ name }) => `alike.${name} IS score_before.${name}`).join(' AND ')}),
  evaluation_id, onset_level_nm, round, ${valueNames}, time_to_level_json
FROM score_before;
DROP TABLE score_before;

CREATE TRIGGER evaluation_is_scored AFTER INSERT ON trial_evaluation
BEGIN
  DELETE FROM trial_score WHERE trial_id = NEW.trial_id;
  INSERT INTO score_group (${groupNames})
  SELECT ${groupColumns.map(({ of }) => of).join(', ')} FROM trial WHERE trial.id = NEW.trial_id AND ${isScorable}
  ON CONFLICT DO NOTHING;
  INSERT INTO trial_score (${ownNames})
  SELECT NEW.trial_id, alike.id, NEW.id, NEW.figures_json ->> '$.onsetLevelNm', trial.place_json ->> '$.round',
    ${valueColumns.map(({ of }) => of).join(',\n    ')}, NEW.figures_json -> '$.timeToLevel'
  FROM trial JOIN score_group AS alike ON ${groupColumns.map(({ name, of }) => `alike.${name} IS ${of}`).join('\n    AND ')}
  WHERE trial.id = NEW.trial_id AND ${isScorable};
END;
`);
}

interface ScoreColumn {
  readonly name: string;
  readonly type: string;
  /** Of the evaluation NEW and its trial. */
  readonly of: string;
}

const groupColumns: readonly ScoreColumn[] = [
  { name: 'calibration_id', type: 'TEXT NOT NULL', of: 'NEW.calibration_id' },
  { name: 'definition_version', type: 'INTEGER NOT NULL', of: 'NEW.definition_version' },
  { name: 'kind', type: 'TEXT NOT NULL', of: 'trial.kind' },
  { name: 'direction', type: 'TEXT NOT NULL', of: 'trial.direction' },
  { name: 'planned_s', type: 'REAL NOT NULL', of: 'trial.planned_s' },
  { name: 'preload_nm', type: 'REAL', of: 'trial.preload_nm' },
  { name: 'is_simulated', type: 'INTEGER NOT NULL', of: 'trial.is_simulated' },
  { name: 'transducer_id', type: 'TEXT NOT NULL', of: 'trial.transducer_id' },
  {
    name: 'rig_revision',
    type: 'TEXT NOT NULL',
    of: `coalesce(trial.transducer_json ->> '$.rigRevision', '')`,
  },
  { name: 'nominal_rate_hz', type: 'REAL NOT NULL', of: `trial.profile_json ->> '$.nominalRateHz'` },
  { name: 'anti_alias_bandwidth_hz', type: 'REAL', of: `trial.profile_json ->> '$.antiAliasBandwidthHz'` },
  { name: 'window_s', type: 'REAL NOT NULL', of: `NEW.figures_json ->> '$.windowS'` },
];
const groupNames = groupColumns.map(({ name }) => name).join(', ');

/** Two nulls are two to an index, so that one could stand twice: no measured number is below zero here. */
function indexed({ name, type }: ScoreColumn): string {
  return type.endsWith('NOT NULL') ? name : `coalesce(${name}, -1)`;
}

/** Of the evaluation NEW; REAL, null where the curve does not carry it. */
const valueColumns: readonly Omit<ScoreColumn, 'type'>[] = [
  { name: 'sustained_nm', of: `NEW.figures_json ->> '$.sustainedTorqueNm.value'` },
  { name: 'final_nm', of: `NEW.figures_json ->> '$.finalTorqueNm.value'` },
  ...[1, 2, 3, 5, 10, 15].map((atS) => ({
    name: `torque_at_${atS}_nm`,
    of: `(SELECT value ->> '$.torqueNm.value' FROM json_each(NEW.figures_json, '$.torqueAt') WHERE value ->> '$.atS' = ${atS})`,
  })),
  { name: 'time_to_90_s', of: `NEW.figures_json ->> '$.timeTo90PercentS.value'` },
  { name: 'stall_nm', of: `NEW.figures_json ->> '$.stallTorqueNm.value'` },
  {
    name: 'released_preload_nm',
    of: `CASE WHEN NEW.figures_json ->> '$.breakaway.releasedAtS' IS NOT NULL THEN NEW.figures_json ->> '$.breakaway.preloadNm' END`,
  },
  { name: 'last_nm', of: `NEW.figures_json ->> '$.endurance.lastNm'` },
];
const valueNames = valueColumns.map(({ name }) => name).join(', ');
const ownNames = `trial_id, group_id, evaluation_id, onset_level_nm, round, ${valueNames}, time_to_level_json`;

/** What this program never wrote, after damage or by another hand, is no score; reading the trial itself says what is wrong. */
const isScorable = `json_type(NEW.figures_json, '$.windowS') IN ('integer', 'real')
    AND json_type(NEW.figures_json, '$.onsetLevelNm') IN ('integer', 'real')
    AND json_type(NEW.figures_json, '$.timeToLevel') = 'array'`;
