import { AppError } from '../../shared-lib/app-error.ts';
import { amplifierProfileSchema } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { assertNever } from '../../shared-lib/assert-never.ts';
import { preparationSchema } from '../../shared-lib/run-sheet/setup-model.ts';
import {
  type FaultEvent,
  faultEventSchema,
  transducerSchema,
  type TrialConditions,
  trialConditionsSchema,
  type TrialDecision,
  trialDecisionSchema,
  type TrialFigures,
  trialFiguresSchema,
  type TrialRecord,
  trialRecordSchema,
  type TrialSummary,
} from '../../shared-lib/trial/trial-model.ts';
import { listAssignments } from './assignment-repository.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { fromJsonColumn } from './json-column.ts';
import { trialNotFound } from './recording-repository.ts';
import { createSuspicionLookup } from './suspicion-repository.ts';
import { appendDecision, appendEvaluation } from './trial-history.ts';
import { inTime, placeOf, selectSummaries, setupIn, type SummaryRow, toSummary } from './trial-summary.ts';
import { listAnnotations, listEvaluations, listRelabellings } from './trial-trail.ts';

/** Trials of this bench that were cut short and wait for the operator to keep or void them, oldest first. */
export function listInterruptedUndecided(database: ReadableDatabase): string[] {
  return reading(() =>
    database
      .prepare<[], string>(
        `SELECT id FROM trial WHERE state = 'interrupted' AND is_voided = 0
           AND NOT EXISTS (SELECT 1 FROM imported_row WHERE table_name = 'trial' AND row_key = trial.id)
         ORDER BY started_at, id`,
      )
      .pluck()
      .all(),
  );
}

interface RecordRow extends SummaryRow {
  transducer_json: string;
  amplifier_id: string | null;
  amplifier_name: string | null;
  profile_json: string;
  clock_source: string;
  zero_counts: number;
  noise_nm: number;
  onset_level_nm: number;
  software_version: string;
  definition_version: number;
  interruption: string | null;
  onset_slot: number;
  sample_rate_hz: number | null;
  rate_residual_us: number | null;
  rate_standard_error_hz: number | null;
  zero_after_counts: number | null;
  /** As it was when the trial began. */
  setup_json: string | null;
  preparation_json: string | null;
  rested_s: number | null;
  planned_rest_s: number | null;
  has_been_kept: number;
}

/** All of a trial but its samples. The figures are the newest ones, and null as long as it was never kept. */
export function getTrial(database: ReadableDatabase, trialId: string): TrialRecord {
  return reading(() => {
    const row = database
      .prepare<[string], RecordRow>(
        `SELECT summary.*, transducer_json, amplifier_id, amplifier_name, profile_json, clock_source,
           zero_counts, noise_nm, onset_level_nm, software_version, definition_version, interruption, onset_slot,
           sample_rate_hz, rate_residual_us, rate_standard_error_hz, zero_after_counts, preparation_json, rested_s,
           setup_json, planned_rest_s, has_been_kept
         FROM (${selectSummaries} WHERE id = ?) AS summary JOIN trial USING (id)`,
      )
      .get(trialId);
    if (!row) throw trialNotFound(trialId);
    return trialRecordSchema.parse({
      summary: toSummary(row, createSuspicionLookup(database)(inTime(row))),
      conditions: toConditions(row),
      onsetSlot: row.onset_slot,
      ...countSlots(database, trialId),
      sampleRateHz: row.sample_rate_hz,
      rateResidualUs: row.rate_residual_us,
      rateStandardErrorHz: row.rate_standard_error_hz,
      zeroAfterCounts: row.zero_after_counts,
      interruption: row.interruption,
      figures: row.has_been_kept === 1 ? newestFigures(database, trialId) : null,
      // The Bench shows the same before anything is decided; after a restart nobody else does.
      undecidedQuality:
        row.state === 'reviewing' ? (newestFigures(database, trialId)?.quality ?? null) : null,
      faults: listFaults(database, trialId),
      decisions: listDecisions(database, trialId),
      assignments: listAssignments(database, trialId),
      annotations: listAnnotations(database, trialId),
      relabellings: listRelabellings(database, trialId),
      evaluations: row.has_been_kept === 1 ? listEvaluations(database, trialId) : [],
    });
  });
}

function countSlots(database: ReadableDatabase, trialId: string): { slotCount: number; lostSlots: number } {
  const counted = database
    .prepare<[string], { slotCount: number | null; presentSlots: number | null }>(
      `SELECT max(first_slot + slot_count) AS slotCount, sum(slot_count - lost_slot_count) AS presentSlots
       FROM raw_block WHERE trial_id = ?`,
    )
    .get(trialId);
  const slotCount = counted?.slotCount ?? 0;
  return { slotCount, lostSlots: slotCount - (counted?.presentSlots ?? 0) };
}

/** The figures whatever was decided, for those who compute with them; a window gets them from `getTrial`. */
export function newestFigures(database: ReadableDatabase, trialId: string): TrialFigures | null {
  return reading(() => {
    const text = database
      .prepare<[string], string>(
        'SELECT figures_json FROM trial_evaluation WHERE trial_id = ? ORDER BY id DESC LIMIT 1',
      )
      .pluck()
      .get(trialId);
    return text === undefined
      ? null
      : fromJsonColumn(trialFiguresSchema, text, `figures of trial ${trialId}`);
  });
}

function listFaults(database: ReadableDatabase, trialId: string): FaultEvent[] {
  return database
    .prepare<[string]>(
      'SELECT kind, at, at_s AS atS, count, sentence FROM trial_fault WHERE trial_id = ? ORDER BY id',
    )
    .all(trialId)
    .map((row) => faultEventSchema.parse(row));
}

function listDecisions(database: ReadableDatabase, trialId: string): TrialDecision[] {
  return database
    .prepare<[string], Omit<TrialDecision, 'figuresShown'> & { figures_shown: number }>(
      `SELECT decision, reason, figures_shown, stop_cause AS stopCause, operator, at FROM trial_decision
       WHERE trial_id = ? ORDER BY id`,
    )
    .all(trialId)
    .map(({ figures_shown, ...row }) =>
      trialDecisionSchema.parse({ ...row, figuresShown: figures_shown === 1 }),
    );
}

/** New figures, under another definition or calibration; those from before stay beneath them. */
export function saveEvaluation(
  database: WritableDatabase,
  trialId: string,
  figures: TrialFigures,
  at: string,
): void {
  writing(database, () => appendEvaluation(database, trialId, figures, at));
}

/**
 * Stores a decision and moves the trial with it.
 *
 * Errors: AppError 'trial-not-found'; 'trial-not-finished' while it is recorded; 'invalid-state' where the decision makes
 * no sense: keeping what is kept or voided, voiding what is voided, restoring what is not.
 */
export function recordDecision(database: WritableDatabase, trialId: string, decision: TrialDecision): void {
  writing(database, () => {
    const trial = database
      .prepare<[string], { state: TrialSummary['state']; isVoided: number }>(
        'SELECT state, is_voided AS isVoided FROM trial WHERE id = ?',
      )
      .get(trialId);
    if (!trial) throw trialNotFound(trialId);
    const next = decide(trialId, trial.state, trial.isVoided === 1, decision.decision);
    database
      .prepare('UPDATE trial SET state = ?, is_voided = ? WHERE id = ?')
      .run(next.state, Number(next.isVoided), trialId);
    appendDecision(database, trialId, decision);
  });
}

function decide(
  trialId: string,
  state: TrialSummary['state'],
  isVoided: boolean,
  decision: TrialDecision['decision'],
): { readonly state: TrialSummary['state']; readonly isVoided: boolean } {
  if (state === 'recording') {
    throw new AppError(
      'trial-not-finished',
      'This trial is still being recorded. Nothing was changed. Decide when it has ended.',
      { trialId },
    );
  }
  switch (decision) {
    case 'kept':
      if (state === 'kept' || isVoided) {
        throw refused(trialId, isVoided ? 'it is voided; take that back first' : 'it is kept already');
      }
      return { state: 'kept', isVoided: false };
    case 'voided':
      if (isVoided) throw refused(trialId, 'it is voided already');
      return { state, isVoided: true };
    case 'restored':
      if (!isVoided) throw refused(trialId, 'it is not voided');
      return { state, isVoided: false };
    case 'interrupted':
      throw refused(trialId, 'its recording has ended');
    default:
      return assertNever(decision, 'A decision without a rule');
  }
}

function refused(trialId: string, why: string): AppError {
  return new AppError(
    'invalid-state',
    `This cannot be decided about the trial: ${why}. Nothing was changed. Look at its newest decisions in the Logbook.`,
    { trialId },
  );
}

function toConditions(row: RecordRow): TrialConditions {
  return trialConditionsSchema.parse({
    transducer: fromJsonColumn(transducerSchema, row.transducer_json, `transducer of trial ${row.id}`),
    calibrationId: row.calibration_id,
    amplifierId: row.amplifier_id,
    amplifierName: row.amplifier_name,
    profile: fromJsonColumn(amplifierProfileSchema, row.profile_json, `profile of trial ${row.id}`),
    clockSource: row.clock_source,
    zeroCounts: row.zero_counts,
    noiseNm: row.noise_nm,
    onsetLevelNm: row.onset_level_nm,
    softwareVersion: row.software_version,
    definitionVersion: row.definition_version,
    setup: setupIn(row.setup_json, row.id),
    place: placeOf(row),
    preparation:
      row.preparation_json === null
        ? null
        : fromJsonColumn(preparationSchema, row.preparation_json, `preparation of trial ${row.id}`),
    restedS: row.rested_s,
    plannedRestS: row.planned_rest_s,
  });
}
