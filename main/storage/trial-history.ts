import {
  type TrialDecision,
  type TrialFigures,
  trialFiguresSchema,
} from '../../shared-lib/trial/trial-model.ts';
import type { WritableDatabase } from './database.ts';
import { toJsonColumn } from './json-column.ts';

/** Rows that only grow; called within a transaction that also moves the trial's state. */
export function appendEvaluation(
  database: WritableDatabase,
  trialId: string,
  figures: TrialFigures,
  at: string,
): void {
  database
    .prepare(
      'INSERT INTO trial_evaluation (trial_id, definition_version, calibration_id, figures_json, at) VALUES (?, ?, ?, ?, ?)',
    )
    .run(
      trialId,
      figures.definitionVersion,
      figures.calibrationId,
      toJsonColumn(trialFiguresSchema, figures),
      at,
    );
}

export function appendDecision(database: WritableDatabase, trialId: string, decision: TrialDecision): void {
  database
    .prepare(
      `INSERT INTO trial_decision (trial_id, decision, reason, figures_shown, stop_cause, operator, at)
       VALUES (?, ?, ?, ?, ?, ?, ?)`,
    )
    .run(
      trialId,
      decision.decision,
      decision.reason,
      Number(decision.figuresShown),
      decision.stopCause ?? null,
      decision.operator,
      decision.at,
    );
}
