import { z } from 'zod';
import {
  type Annotation,
  annotationSchema,
  type Evaluation,
  evaluationSchema,
  type Relabelling,
  relabellingSchema,
  tagSchema,
} from '../../shared-lib/trial/trial-trail.ts';
import type { ReadableDatabase } from './database.ts';
import { fromJsonColumn } from './json-column.ts';
import { prepared } from './recording-statements.ts';
import { setupIn } from './trial-summary.ts';

/** What became of a trial after it was stored, as it is read again. All lists are oldest first. */
interface AnnotationRow {
  note: string;
  tags_json: string;
  operator: string;
  at: string;
}

const selectAnnotations = 'SELECT note, tags_json, operator, at FROM trial_annotation WHERE trial_id = ?';

export function listAnnotations(database: ReadableDatabase, trialId: string): Annotation[] {
  return prepared<[string], AnnotationRow>(database, `${selectAnnotations} ORDER BY id`)
    .all(trialId)
    .map((row) => toAnnotation(row, trialId));
}

export function newestAnnotation(database: ReadableDatabase, trialId: string): Annotation | null {
  const row = prepared<[string], AnnotationRow>(
    database,
    `${selectAnnotations} ORDER BY id DESC LIMIT 1`,
  ).get(trialId);
  return row ? toAnnotation(row, trialId) : null;
}

function toAnnotation({ tags_json, ...row }: AnnotationRow, trialId: string): Annotation {
  const tags = fromJsonColumn(z.array(tagSchema), tags_json, `tags of trial ${trialId}`);
  return annotationSchema.parse({ ...row, tags });
}

interface RelabellingRow {
  toolName: string;
  setup_json: string | null;
  reason: string;
  operator: string;
  at: string;
}

const selectRelabellings =
  'SELECT tool_name AS toolName, setup_json, reason, operator, at FROM relabelling WHERE trial_id = ?';

export function listRelabellings(database: ReadableDatabase, trialId: string): Relabelling[] {
  return prepared<[string], RelabellingRow>(database, `${selectRelabellings} ORDER BY id`)
    .all(trialId)
    .map((row) => toRelabelling(row, trialId));
}

export function newestRelabelling(database: ReadableDatabase, trialId: string): Relabelling | null {
  const row = prepared<[string], RelabellingRow>(
    database,
    `${selectRelabellings} ORDER BY id DESC LIMIT 1`,
  ).get(trialId);
  return row ? toRelabelling(row, trialId) : null;
}

function toRelabelling({ setup_json, ...row }: RelabellingRow, trialId: string): Relabelling {
  return relabellingSchema.parse({ ...row, setup: setupIn(setup_json, trialId) });
}

/** Whoever shows them sees to it that the trial was kept before, see `getTrial`. */
export function listEvaluations(database: ReadableDatabase, trialId: string): Evaluation[] {
  return prepared<[string]>(
    database,
    `SELECT definition_version AS definitionVersion, calibration_id AS calibrationId, at,
       sustained_torque_nm AS sustainedTorqueNm, figures_json ->> '$.finalTorqueNm.value' AS finalTorqueNm,
       quality_verdict AS verdict
     FROM trial_evaluation WHERE trial_id = ? ORDER BY id`,
  )
    .all(trialId)
    .map((row) => evaluationSchema.parse(row));
}
