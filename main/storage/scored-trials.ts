import type { ContenderLookup } from '../../shared-lib/comparison/contender-lookup.ts';
import type { BenchOfTrial, PulledTrial } from '../../shared-lib/comparison/pulled-trial.ts';
import type { ComparedStep, TrialMeasure } from '../../shared-lib/comparison/trial-measure.ts';
import type { Role } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import type { Quality, TrialFigures, TrialSummary } from '../../shared-lib/trial/trial-model.ts';
import { type ReadableDatabase, reading } from './database.ts';
import { fromJsonColumn } from './json-column.ts';
import { createSuspicionLookup } from './suspicion-repository.ts';

export interface StoredScore extends PulledTrial {
  readonly toolNameFolded: string;
  readonly evaluationId: number;
  /** In N·m or s; null: not reached, or the curve does not carry it. Looked up by `scoreOf`. */
  readonly scores: ScoreColumns;
}

/** Those that were asked for. */
interface ScoreColumns {
  readonly sustained_nm?: number | null;
  readonly final_nm?: number | null;
  readonly torque_at_1_nm?: number | null;
  readonly torque_at_2_nm?: number | null;
  readonly torque_at_3_nm?: number | null;
  readonly torque_at_5_nm?: number | null;
  readonly torque_at_10_nm?: number | null;
  readonly torque_at_15_nm?: number | null;
  readonly time_to_90_s?: number | null;
  readonly time_to_level_json?: string;
  readonly stall_nm?: number | null;
  readonly released_preload_nm?: number | null;
  readonly last_nm?: number | null;
}

interface ScoreRow extends ScoreColumns {
  trial_id: string;
  session_id: string;
  started_at: string;
  shown_tool_name_folded: string;
  shown_setup_id: string | null;
  state: TrialSummary['state'];
  is_voided: number;
  newest_verdict: Quality['verdict'] | null;
  role: Role | null;
  round: number | null;
  run_sheet_id: string | null;
  evaluation_id: number;
  group_id: number;
  onset_level_nm: number;
}

interface GroupRow {
  id: number;
  kind: ComparedStep['kind'];
  direction: ComparedStep['direction'];
  planned_s: number;
  preload_nm: number | null;
  is_simulated: number;
  calibration_id: string;
  definition_version: number;
  transducer_id: string;
  rig_revision: string;
  nominal_rate_hz: number;
  anti_alias_bandwidth_hz: number | null;
  window_s: number;
}

/** What many trials have alike, as one object for all of them: whoever groups trials finds them by identity. */
type ScoreGroup = Pick<StoredScore, 'step' | 'preloadNm' | 'isSimulated' | 'calibrationId' | 'bench'>;

export interface ScoreFilter {
  /** Left out: all steps. */
  readonly steps?: readonly ComparedStep[];
  readonly isSimulated?: boolean;
  /** Whose values will be asked for; the others are not read and come out null. Left out: all. */
  readonly measures?: readonly TrialMeasure[];
  readonly sessionIds?: readonly string[];
  readonly role?: Role;
}

/**
 * Measured trials in the order in which they were pulled; voided and undecided ones too, since whoever shows a result says what
 * was left out of it. Reads one covering index of `trial` and the narrow `trial_score`, never the wide rows.
 */
export function listScores(
  database: ReadableDatabase,
  contenders: ContenderLookup,
  { steps, isSimulated, measures, sessionIds, role }: ScoreFilter = {},
): StoredScore[] {
  return reading(() => {
    const suspicionOf = createSuspicionLookup(database);
    const madeWith = readMadeWith(database);
    const ofGroup = [
      ...(isSimulated === undefined ? [] : [`is_simulated = ${Number(isSimulated)}`]),
      ...(steps === undefined
        ? []
        : [`(kind, direction, planned_s) IN (VALUES ${steps.map(() => '(?, ?, ?)').join(', ')})`]),
    ];
    const conditions = [
      `state <> 'recording'`,
      ...(sessionIds === undefined ? [] : ['session_id IN (SELECT value FROM json_each(?))']),
      ...(role === undefined ? [] : ['role = ?']),
      ...(ofGroup.length === 0
        ? []
        : [`group_id IN (SELECT id FROM score_group WHERE ${ofGroup.join(' AND ')})`]),
    ];
    if (steps?.length === 0) return [];
    const groups = readGroups(database);
    const shared = createSharedTexts(contenders);
    return database
      .prepare<(string | number)[], ScoreRow>(
        `SELECT trial_id, session_id, started_at, shown_tool_name_folded, shown_setup_id, state, is_voided, newest_verdict, role,
           round, run_sheet_id, evaluation_id, group_id, ${['onset_level_nm', ...valueColumns(measures)].join(', ')}
         FROM (SELECT id, session_id, started_at, shown_tool_name_folded, shown_setup_id, state, is_voided,
             newest_verdict, role, run_sheet_id FROM trial INDEXED BY trial_by_start) AS listed
           JOIN trial_score AS score ON score.trial_id = listed.id
         WHERE ${conditions.join(' AND ')}
         ORDER BY started_at, listed.id`,
      )
      .all(
        ...(sessionIds === undefined ? [] : [JSON.stringify(sessionIds)]),
        ...(role === undefined ? [] : [role]),
        ...(steps ?? []).flatMap(({ kind, direction, plannedS }) => [kind, direction, plannedS]),
      )
      .map((row) => {
        const group = groups.get(row.group_id);
        if (group === undefined) throw new Error(`The score of trial ${row.trial_id} is of no group`);
        return {
          ...group,
          trialId: row.trial_id,
          key: shared.keyOf(row),
          toolNameFolded: row.shown_tool_name_folded,
          sessionId: shared.textOf(row.session_id),
          startedAt: row.started_at,
          state: row.state,
          isVoided: row.is_voided === 1,
          verdict: row.newest_verdict,
          suspicion: suspicionOf({
            id: row.trial_id,
            calibrationId: madeWith.get(row.trial_id) ?? group.calibrationId,
            startedAt: row.started_at,
          }),
          role: row.role,
          round: row.round,
          runSheetId: row.run_sheet_id,
          evaluationId: row.evaluation_id,
          onsetLevelNm: row.onset_level_nm,
          scores: row,
        };
      });
  });
}

/**
 * The calibrations that trials were made with which are read by another one since: a failed check tells of what a trial was made with.
 * Of the others it is that of their group.
 */
function readMadeWith(database: ReadableDatabase): ReadonlyMap<string, string> {
  return new Map(
    database
      .prepare<[], [string, string]>(
        'SELECT id, calibration_id FROM trial WHERE id IN (SELECT trial_id FROM calibration_assignment)',
      )
      .raw()
      .all(),
  );
}

function readGroups(database: ReadableDatabase): ReadonlyMap<number, ScoreGroup> {
  const steps: ComparedStep[] = [];
  const benches: BenchOfTrial[] = [];
  const rows = database.prepare<[], GroupRow>('SELECT * FROM score_group').all();
  return new Map(
    rows.map((row) => [
      row.id,
      {
        step: sharedOf(steps, { kind: row.kind, direction: row.direction, plannedS: row.planned_s }),
        preloadNm: row.preload_nm,
        isSimulated: row.is_simulated === 1,
        calibrationId: row.calibration_id,
        bench: sharedOf(benches, {
          transducerId: row.transducer_id,
          rigRevision: row.rig_revision,
          nominalRateHz: row.nominal_rate_hz,
          antiAliasBandwidthHz: row.anti_alias_bandwidth_hz,
          windowS: row.window_s,
          definitionVersion: row.definition_version,
        }),
      },
    ]),
  );
}

/** The one among them that is alike, or this one from now on. */
function sharedOf<Part extends object>(known: Part[], part: Part): Part {
  const names = Object.keys(part) as (keyof Part)[];
  const alike = known.find((other) => names.every((name) => other[name] === part[name]));
  if (alike === undefined) known.push(part);
  return alike ?? part;
}

/** With one text for all of them, texts are hashed once instead of each time. */
function createSharedTexts(contenders: ContenderLookup): {
  keyOf(row: ScoreRow): string;
  textOf(text: string): string;
} {
  const texts = new Map<string, string>();
  const keysOfSetups = new Map<string, string>();
  const textOf = (text: string): string => {
    const known = texts.get(text);
    if (known !== undefined) return known;
    texts.set(text, text);
    return text;
  };
  return {
    textOf,
    keyOf({ shown_setup_id, shown_tool_name_folded }) {
      if (shown_setup_id === null) return textOf(contenders.keyOf(null, shown_tool_name_folded));
      const known = keysOfSetups.get(shown_setup_id);
      if (known !== undefined) return known;
      const key = textOf(contenders.keyOf(shown_setup_id, shown_tool_name_folded));
      keysOfSetups.set(shown_setup_id, key);
      return key;
    },
  };
}

/** As a trial named it, for showing a contender that is known by its name only. */
export function toolNameAsWritten(database: ReadableDatabase, trialId: string): string {
  return reading(
    () =>
      database
        .prepare<[string], string>('SELECT shown_tool_name FROM trial WHERE id = ?')
        .pluck()
        .get(trialId) ?? '',
  );
}

/** How many rounds the plan of each run sheet has, by its id. */
export function plannedRoundsOf(
  database: ReadableDatabase,
  runSheetIds: readonly string[],
): ReadonlyMap<string, number> {
  return reading(
    () =>
      new Map(
        database
          .prepare<[string], [string, number]>(
            `SELECT id, plan_json ->> '$.rounds' FROM run_sheet WHERE id IN (SELECT value FROM json_each(?))`,
          )
          .raw()
          .all(JSON.stringify(runSheetIds)),
      ),
  );
}

/** Whether the time to a level was asked for when the trial was measured; if not, nothing is known of it. */
export function hasLevel(score: StoredScore, levelNm: number): boolean {
  return levelsOf(score).some((level) => level.levelNm === levelNm);
}

function levelsOf({ trialId, scores }: Pick<StoredScore, 'trialId' | 'scores'>): LevelTime[] {
  return fromJsonColumn(levelTimes, scores.time_to_level_json ?? '[]', `levels of trial ${trialId}`);
}

type LevelTime = TrialFigures['timeToLevel'][number];

/** By hand: it is read of every trial each time somebody looks at standings. */
const levelTimes = {
  parse(value: unknown): LevelTime[] {
    if (Array.isArray(value) && value.every(isLevelTime)) return value;
    throw new TypeError('These are no times to levels');
  },
};

function isLevelTime(value: unknown): value is LevelTime {
  return (
    typeof value === 'object' &&
    value !== null &&
    'levelNm' in value &&
    typeof value.levelNm === 'number' &&
    'timeS' in value &&
    (value.timeS === null || typeof value.timeS === 'number')
  );
}

/** Of thousands of rows each column costs. */
function valueColumns(measures: readonly TrialMeasure[] | undefined): readonly string[] {
  return measures === undefined ? allValueColumns : [...new Set(measures.map(columnOf))];
}

const allValueColumns: readonly (keyof ScoreColumns)[] = [
  'sustained_nm',
  'final_nm',
  'torque_at_1_nm',
  'torque_at_2_nm',
  'torque_at_3_nm',
  'torque_at_5_nm',
  'torque_at_10_nm',
  'torque_at_15_nm',
  'time_to_90_s',
  'time_to_level_json',
  'stall_nm',
  'released_preload_nm',
  'last_nm',
];

function columnOf(measure: TrialMeasure): keyof ScoreColumns {
  switch (measure.figure) {
    case 'sustainedTorque':
      return 'sustained_nm';
    case 'finalTorque':
      return 'final_nm';
    case 'torqueAt':
      return `torque_at_${measure.atS}_nm`;
    case 'timeTo90Percent':
      return 'time_to_90_s';
    case 'timeToLevel':
      return 'time_to_level_json';
    case 'stallTorque':
      return 'stall_nm';
    case 'releasedPreload':
      return 'released_preload_nm';
    case 'lastTorque':
      return 'last_nm';
  }
}

/**
 * The value of one measure, as it is stored: null where it was not reached or the curve does not carry it, and where a level was not
 * among those that were asked for when the trial was measured.
 */
export function scoreOf({ trialId, scores }: StoredScore, measure: TrialMeasure): number | null {
  if (measure.figure === 'timeToLevel') {
    return levelsOf({ trialId, scores }).find(({ levelNm }) => levelNm === measure.levelNm)?.timeS ?? null;
  }
  const value = scores[columnOf(measure)];
  return typeof value === 'number' ? value : null;
}
