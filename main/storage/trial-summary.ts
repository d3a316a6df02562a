import type { Suspicion } from '../../shared-lib/trial/suspicion.ts';
import { type TrialSummary, trialSummarySchema } from '../../shared-lib/trial/trial-model.ts';
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
  is_simulated: number;
  calibration_id: string;
  state: string;
  is_voided: number;
  quality_verdict: string | null;
  shown_sustained_torque_nm: number | null;
}

/** Torque is shown of trials that have once been kept: whoever sees it before could pick results by it. */
export const hasBeenKept = `EXISTS (SELECT 1 FROM trial_decision WHERE trial_id = trial.id AND decision = 'kept')`;

export const selectSummaries = `
SELECT id, session_id, started_at, tool_name, kind, direction, planned_s, is_simulated, calibration_id, state,
  is_voided,
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
    },
    state: row.state,
    isVoided: row.is_voided === 1,
    isSimulated: row.is_simulated === 1,
    qualityVerdict: row.quality_verdict,
    sustainedTorqueNm: row.shown_sustained_torque_nm,
    suspicion,
  });
}
