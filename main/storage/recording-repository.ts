import { AppError } from '../../shared-lib/app-error.ts';
import { amplifierProfileSchema } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { placeInSheetSchema } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import { preparationSchema, setupAsTestedSchema } from '../../shared-lib/run-sheet/setup-model.ts';
import type { ArrivalMark } from '../../shared-lib/signal/fit-sample-clock.ts';
import type { SlotRange } from '../../shared-lib/signal/sample-block.ts';
import type { Step } from '../../shared-lib/trial/step-model.ts';
import {
  type FaultEvent,
  type InterruptionReason,
  transducerSchema,
  type TrialConditions,
  type TrialDecision,
  type TrialFigures,
} from '../../shared-lib/trial/trial-model.ts';
import { decodeRun, encodeRun, type RawBlockColumns } from './block-codec.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { toJsonColumn } from './json-column.ts';
import { joinRuns } from './recorded-runs.ts';
import { prepared } from './recording-statements.ts';
import { foldForSearch } from './search-folding.ts';
import { appendDecision, appendEvaluation } from './trial-history.ts';
import { refreshListing } from './trial-listing.ts';

/** The states that a recording can end in. */
type EndState = 'reviewing' | 'kept' | 'interrupted';

/** A block of samples as it is stored: `firstSlot` counts from the record's first slot, gaps from the block's. */
export interface StoredBlock {
  readonly firstSlot: number;
  readonly counts: Int32Array;
  readonly gaps: readonly SlotRange[];
  /** Host's monotonic time, whole microseconds, when the block's last slot had been read. */
  readonly arrivalUs: number;
}

export interface NewTrial {
  readonly id: string;
  readonly sessionId: string;
  readonly startedAt: string;
  readonly step: Step;
  readonly conditions: TrialConditions;
  readonly onsetSlot: number;
  readonly isSimulated: boolean;
}

export interface FinishedRecording {
  readonly state: EndState;
  readonly interruption: InterruptionReason | null;
  readonly zeroAfterCounts: number | null;
  readonly sampleRateHz: number | null;
  readonly rateResidualUs: number | null;
  readonly rateStandardErrorHz: number | null;
  readonly onsetSlot: number;
  readonly figures: TrialFigures | null;
  readonly decision: TrialDecision | null;
  readonly finishedAt: string;
}

export interface Recording {
  readonly counts: Int32Array;
  readonly gaps: readonly SlotRange[];
  readonly marks: readonly ArrivalMark[];
}

/** No trial comes near (an hour at 37 000 Sa/s); a slot beyond it would make the whole record unreadable. */
const MOST_SLOTS = 2 ** 27;

/** Stores a trial together with the samples from before its onset: both or nothing. */
export function beginTrial(
  database: WritableDatabase,
  trial: NewTrial,
  firstBlocks: readonly StoredBlock[],
): void {
  const { step, conditions } = trial;
  writing(database, () => {
    prepared(
      database,
      `INSERT INTO trial (id, session_id, started_at, tool_name, tool_name_folded, kind, direction, planned_s,
           is_simulated, transducer_id, transducer_json, calibration_id, amplifier_id, amplifier_name, profile_json,
           clock_source, zero_counts, noise_nm, onset_level_nm, software_version, definition_version, preload_nm,
           setup_json, run_sheet_id, entry_id, place_json, preparation_json, rested_s, planned_rest_s, state, onset_slot)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, 'recording', ?)`,
    ).run(
      trial.id,
      trial.sessionId,
      trial.startedAt,
      step.toolName,
      foldForSearch(step.toolName),
      step.kind,
      step.direction,
      step.plannedS,
      Number(trial.isSimulated),
      conditions.transducer.id,
      toJsonColumn(transducerSchema, conditions.transducer),
      conditions.calibrationId,
      conditions.amplifierId,
      conditions.amplifierName,
      toJsonColumn(amplifierProfileSchema, conditions.profile),
      conditions.clockSource,
      conditions.zeroCounts,
      conditions.noiseNm,
      conditions.onsetLevelNm,
      conditions.softwareVersion,
      conditions.definitionVersion,
      step.preloadNm ?? null,
      conditions.setup && toJsonColumn(setupAsTestedSchema, conditions.setup),
      conditions.place?.runSheetId ?? null,
      conditions.place?.entryId ?? null,
      conditions.place && toJsonColumn(placeInSheetSchema, conditions.place),
      conditions.preparation && toJsonColumn(preparationSchema, conditions.preparation),
      conditions.restedS,
      conditions.plannedRestS,
      trial.onsetSlot,
    );
    refreshListing(database, trial.id);
    for (const block of firstBlocks) insertBlock(database, trial.id, block);
  });
}

/**
 * Adds samples to a trial under way; on the disk when it returns. Slots that were left out since the block before are
 * lost slots.
 */
export function appendBlock(database: WritableDatabase, trialId: string, block: StoredBlock): void {
  writing(database, () => {
    requireRecording(database, trialId);
    insertBlock(database, trialId, block);
  });
}

function insertBlock(database: WritableDatabase, trialId: string, block: StoredBlock): void {
  const { firstSlot, counts, gaps, arrivalUs } = block;
  const endSlot = firstSlot + counts.length;
  const storedEndSlot = endSlotOf(database, trialId);
  if (!Number.isInteger(firstSlot) || firstSlot < storedEndSlot || endSlot > MOST_SLOTS) {
    throw new RangeError(`Slots ${firstSlot} to ${endSlot - 1} cannot follow slot ${storedEndSlot - 1}`);
  }
  const marks = [{ slot: endSlot - 1, arrivalUs }];
  insertRawBlock(database, trialId, encodeRun({ firstSlot, counts, gaps, marks }, 'live'));
}

export function insertRawBlock(database: WritableDatabase, trialId: string, columns: RawBlockColumns): void {
  prepared<[RawBlockColumns & { trial_id: string }]>(
    database,
    `INSERT INTO raw_block (trial_id, first_slot, slot_count, lost_slot_count, codec, gaps, marks, crc32, payload)
       VALUES (@trial_id, @first_slot, @slot_count, @lost_slot_count, @codec, @gaps, @marks, @crc32, @payload)`,
  ).run({ ...columns, trial_id: trialId });
}

function endSlotOf(database: ReadableDatabase, trialId: string): number {
  const endSlot = prepared<[string], number>(
    database,
    'SELECT first_slot + slot_count FROM raw_block WHERE trial_id = ? ORDER BY first_slot DESC LIMIT 1',
  )
    .pluck()
    .get(trialId);
  return endSlot ?? 0;
}

/** How much of a recording is stored: the slot after its last one, and its faults. */
export function countRecorded(
  database: ReadableDatabase,
  trialId: string,
): { readonly endSlot: number; readonly faults: number } {
  requireRecording(database, trialId);
  const faults = prepared<[string], number>(database, 'SELECT count(*) FROM trial_fault WHERE trial_id = ?')
    .pluck()
    .get(trialId);
  return { endSlot: endSlotOf(database, trialId), faults: faults ?? 0 };
}

/** `atS` counts from the record's first slot. */
export function appendFault(database: WritableDatabase, trialId: string, fault: FaultEvent): void {
  writing(database, () => {
    prepared(
      database,
      'INSERT INTO trial_fault (trial_id, kind, at, at_s, count, sentence) VALUES (?, ?, ?, ?, ?, ?)',
    ).run(trialId, fault.kind, fault.at, fault.atS, fault.count, fault.sentence);
  });
}

/** Of a whole record that is still to be measured: a program that ends meanwhile has it no more. */
export function storeZeroAfter(database: WritableDatabase, trialId: string, zeroAfterCounts: number): void {
  writing(database, () => {
    requireRecording(database, trialId);
    prepared(database, 'UPDATE trial SET zero_after_counts = ? WHERE id = ?').run(zeroAfterCounts, trialId);
  });
}

/**
 * Ends a recording. Together: where the trial stands, its figures, and the decision if there is one.
 *
 * 'kept' comes with a decision 'kept', 'interrupted' with an interruption, 'reviewing' with neither.
 */
export function finishRecording(
  database: WritableDatabase,
  trialId: string,
  finished: FinishedRecording,
): void {
  requireConsistentEnd(finished);
  writing(database, () => {
    requireRecording(database, trialId);
    prepared(
      database,
      `UPDATE trial SET state = ?, interruption = ?, zero_after_counts = ?, sample_rate_hz = ?, rate_residual_us = ?,
           rate_standard_error_hz = ?, onset_slot = ? WHERE id = ?`,
    ).run(
      finished.state,
      finished.interruption,
      finished.zeroAfterCounts,
      finished.sampleRateHz,
      finished.rateResidualUs,
      finished.rateStandardErrorHz,
      finished.onsetSlot,
      trialId,
    );
    if (finished.figures) appendEvaluation(database, trialId, finished.figures, finished.finishedAt);
    if (finished.decision) appendDecision(database, trialId, finished.decision);
  });
}

function requireConsistentEnd({ state, interruption, decision }: FinishedRecording): void {
  const decided = decision?.decision ?? null;
  const isConsistent = {
    reviewing: interruption === null && decided === null,
    kept: interruption === null && decided === 'kept',
    interrupted: interruption !== null && (decided === null || decided === 'interrupted'),
  } satisfies Record<EndState, boolean>;
  if (!isConsistent[state]) {
    throw new Error(`A trial cannot end as ${state} with interruption ${interruption}, decision ${decided}`);
  }
}

/** Trials whose recording was never ended: the program was. Oldest first. */
export function listUnfinished(database: ReadableDatabase): string[] {
  return reading(() =>
    database
      .prepare<[], string>(`SELECT id FROM trial WHERE state = 'recording' ORDER BY started_at, id`)
      .pluck()
      .all(),
  );
}

/** At the start of the program: every recording that was under way becomes an interrupted trial. Returns their ids. */
export function recoverUnfinished(database: WritableDatabase, at: string): string[] {
  return writing(database, () => {
    const trialIds = listUnfinished(database);
    for (const trialId of trialIds) {
      const zeroAfterCounts = database
        .prepare<[string], number | null>(
          `UPDATE trial SET state = 'interrupted', interruption = 'programEnded' WHERE id = ? RETURNING zero_after_counts`,
        )
        .pluck()
        .get(trialId);
      appendDecision(database, trialId, {
        decision: 'interrupted',
        reason:
          zeroAfterCounts == null
            ? 'The program ended while the trial was being recorded.'
            : 'The program ended while the trial was being measured; its record is whole.',
        figuresShown: false,
        operator: '',
        at,
      });
    }
    return trialIds;
  });
}

/** What can be said of a recovered trial once its samples have been read again; its rate can be set this once. */
export function completeRecovered(
  database: WritableDatabase,
  trialId: string,
  found: Pick<
    FinishedRecording,
    'sampleRateHz' | 'rateResidualUs' | 'rateStandardErrorHz' | 'onsetSlot' | 'figures'
  >,
  at: string,
): void {
  writing(database, () => {
    const { changes } = database
      .prepare(
        `UPDATE trial SET sample_rate_hz = ?, rate_residual_us = ?, rate_standard_error_hz = ?, onset_slot = ?
         WHERE id = ? AND interruption = 'programEnded' AND sample_rate_hz IS NULL`,
      )
      .run(found.sampleRateHz, found.rateResidualUs, found.rateStandardErrorHz, found.onsetSlot, trialId);
    if (changes === 0) throw new Error(`Trial ${trialId} is not one to complete after a recovery`);
    if (found.figures) appendEvaluation(database, trialId, found.figures, at);
  });
}

/**
 * All samples of a trial, also of one under way. Lost slots hold 0 and are named by a gap.
 *
 * Errors: AppError 'trial-not-found'; 'block-corrupt' naming the slots.
 */
export function readRecording(database: ReadableDatabase, trialId: string): Recording {
  return reading(() => {
    if (stateOf(database, trialId) === undefined) throw trialNotFound(trialId);
    const runs = selectRawBlocks(database, trialId).map((columns) => decodeRun(columns, trialId));
    const { counts, gaps, marks } = joinRuns(runs, 0);
    return { counts, gaps, marks };
  });
}

export function selectRawBlocks(database: ReadableDatabase, trialId: string): RawBlockColumns[] {
  return database
    .prepare<[string], RawBlockColumns>(
      `SELECT first_slot, slot_count, lost_slot_count, codec, gaps, marks, crc32, payload FROM raw_block
       WHERE trial_id = ? ORDER BY first_slot`,
    )
    .all(trialId);
}

function stateOf(database: ReadableDatabase, trialId: string): string | undefined {
  return prepared<[string], string>(database, 'SELECT state FROM trial WHERE id = ?').pluck().get(trialId);
}

function requireRecording(database: ReadableDatabase, trialId: string): void {
  const state = stateOf(database, trialId);
  if (state === 'recording') return;
  if (state === undefined) throw trialNotFound(trialId);
  throw new AppError(
    'invalid-state',
    'The recording of this trial has ended; nothing can be added to it. What was recorded is safe. Start a new trial.',
    { trialId, state },
  );
}

export function trialNotFound(trialId: string): AppError {
  return new AppError(
    'trial-not-found',
    'There is no such trial here. Nothing was changed. Look for it in the Logbook.',
    { trialId },
  );
}
