import { type PlaceInSheet, placeInSheetSchema } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import { type SetupAsTested, setupAsTestedSchema } from '../../shared-lib/run-sheet/setup-model.ts';
import type { Suspicion } from '../../shared-lib/trial/suspicion.ts';
import { type TrialSummary, trialSummarySchema } from '../../shared-lib/trial/trial-model.ts';
import { fromJsonColumn } from './json-column.ts';
import type { TrialInTime } from './suspicion-repository.ts';

/** A trial in a line, as the list and the whole record show it. */
export interface SummaryRow {
  id: string;
  session_id: string;
  started_at: string;
  tool_name: string;
  kind: string;
  direction: string;
  planned_s: number;
  preload_nm: number | null;
  is_simulated: number;
  calibration_id: string;
  state: string;
  is_voided: number;
  quality_verdict: string | null;
  shown_sustained_torque_nm: number | null;
  /** As they were when the trial began. */
  setup_json: string | null;
  place_json: string | null;
}

/** Torque is shown of trials that have once been kept: whoever sees it before could pick results by it. */
export const hasBeenKept = `EXISTS (SELECT 1 FROM trial_decision WHERE trial_id = trial.id AND decision = 'kept')`;

export const selectSummaries = `
SELECT id, session_id, started_at, tool_name, kind, direction, planned_s, preload_nm, is_simulated, calibration_id,
  state, is_voided, setup_json, place_json,
  (SELECT quality_verdict FROM trial_evaluation WHERE trial_id = trial.id ORDER BY id DESC LIMIT 1) AS quality_verdict,
  CASE WHEN ${hasBeenKept} THEN
    (SELECT sustained_torque_nm FROM trial_evaluation WHERE trial_id = trial.id ORDER BY id DESC LIMIT 1)
  END AS shown_sustained_torque_nm
FROM trial`;

export function inTime(row: SummaryRow): TrialInTime {
  return { id: row.id, calibrationId: row.calibration_id, startedAt: row.started_at };
}

export function toSummary(row: SummaryRow, suspicion: Suspicion | null): TrialSummary {
  return trialSummarySchema.parse({
    id: row.id,
    sessionId: row.session_id,
    startedAt: row.started_at,
    step: {
      toolName: row.tool_name,
      kind: row.kind,
      direction: row.direction,
      plannedS: row.planned_s,
      ...(row.kind === 'breakaway' ? { preloadNm: row.preload_nm } : {}),
    },
    state: row.state,
    isVoided: row.is_voided === 1,
    isSimulated: row.is_simulated === 1,
    qualityVerdict: row.quality_verdict,
    sustainedTorqueNm: row.shown_sustained_torque_nm,
    suspicion,
    setup: setupOf(row),
    place: placeOf(row),
  });
}

export function setupOf({ id, setup_json }: SummaryRow): SetupAsTested | null {
  return setup_json === null ? null : fromJsonColumn(setupAsTestedSchema, setup_json, `setup of trial ${id}`);
}

export function placeOf({ id, place_json }: SummaryRow): PlaceInSheet | null {
  return place_json === null ? null : fromJsonColumn(placeInSheetSchema, place_json, `place of trial ${id}`);
}
