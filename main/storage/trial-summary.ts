import { z } from 'zod';
import { type PlaceInSheet, placeInSheetSchema } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import { type SetupAsTested, setupAsTestedSchema } from '../../shared-lib/run-sheet/setup-model.ts';
import type { Suspicion } from '../../shared-lib/trial/suspicion.ts';
import { type TrialSummary, trialSummarySchema } from '../../shared-lib/trial/trial-model.ts';
import { tagSchema } from '../../shared-lib/trial/trial-trail.ts';
import { fromJsonColumn } from './json-column.ts';
import type { TrialInTime } from './suspicion-repository.ts';

/** A trial in a line, as the list and the whole record show it. */
export interface SummaryRow {
  id: string;
  session_id: string;
  started_at: string;
  kind: string;
  direction: string;
  planned_s: number;
  preload_nm: number | null;
  is_simulated: number;
  calibration_id: string;
  state: string;
  is_voided: number;
  place_json: string | null;
  /** Tool and setup as they are known now. */
  shown_tool_name: string;
  shown_setup_json: string | null;
  has_note: number;
  tags_json: string;
  newest_verdict: string | null;
  /** Of trials that have once been kept. */
  shown_sustained_nm: number | null;
  /** Null: it was pulled here. */
  bench_name: string | null;
}

export const selectSummaries = `
SELECT id, session_id, started_at, kind, direction, planned_s, preload_nm, is_simulated, calibration_id, state,
  is_voided, place_json, shown_tool_name, shown_setup_json, has_note, tags_json, newest_verdict, shown_sustained_nm,
  (SELECT bench.name FROM imported_row JOIN bench ON bench.id = bench_id AND is_own = 0
   WHERE table_name = 'trial' AND row_key = trial.id) AS bench_name
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
      toolName: row.shown_tool_name,
      kind: row.kind,
      direction: row.direction,
      plannedS: row.planned_s,
      ...(row.kind === 'breakaway' ? { preloadNm: row.preload_nm } : {}),
    },
    state: row.state,
    isVoided: row.is_voided === 1,
    isSimulated: row.is_simulated === 1,
    qualityVerdict: row.newest_verdict,
    sustainedTorqueNm: row.shown_sustained_nm,
    suspicion,
    setup: setupIn(row.shown_setup_json, row.id),
    place: placeOf(row),
    hasNote: row.has_note === 1,
    tags: fromJsonColumn(z.array(tagSchema), row.tags_json, `tags of trial ${row.id}`),
    ...(row.bench_name === null ? {} : { benchName: row.bench_name }),
  });
}

export function setupIn(setupJson: string | null, trialId: string): SetupAsTested | null {
  return setupJson === null
    ? null
    : fromJsonColumn(setupAsTestedSchema, setupJson, `setup of trial ${trialId}`);
}

export function placeOf({ id, place_json }: Pick<SummaryRow, 'id' | 'place_json'>): PlaceInSheet | null {
  return place_json === null ? null : fromJsonColumn(placeInSheetSchema, place_json, `place of trial ${id}`);
}
