import { z } from 'zod';
import { AppError } from '../../shared-lib/app-error.ts';
import { countingReadings } from '../../shared-lib/calibration/counting-readings.ts';
import { nextIndex } from '../../shared-lib/calibration/plan-run.ts';
import {
  type CalibrationRun,
  plannedReadingSchema,
  readingFlagSchema,
  type RunState,
  runSetupSchema,
  type TakenReading,
  takenReadingSchema,
} from '../../shared-lib/calibration/run-model.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { fromJsonColumn, toJsonColumn } from './json-column.ts';

export interface StoredRun {
  /** Never `running`: that is for the program of the moment to say. */
  readonly run: CalibrationRun;
  /** Readings whose handling was confirmed. */
  readonly handledIndices: readonly number[];
  /** The farthest reading that was taken or handled: its sense, mounting and arm are those on the rig. Null: none yet. */
  readonly standingIndex: number | null;
}

interface RunRow {
  id: string;
  transducer_id: string;
  amplifier_id: string | null;
  is_simulated: number;
  setup_json: string;
  plan_json: string;
  operator: string;
  started_at: string;
}

interface ReadingRow {
  id: number;
  reading_index: number;
  mean_counts: number;
  standard_deviation_counts: number;
  spread_counts: number;
  drift_counts_per_s: number;
  sample_count: number;
  duration_s: number;
  taken_at: string;
  taken_by: string;
  flags_json: string;
}

interface EventRow {
  kind: string;
  reading_index: number | null;
  reading_id: number | null;
}

const planSchema = z.array(plannedReadingSchema);
const flagsSchema = z.array(readingFlagSchema);

export type NewRun = Omit<CalibrationRun, 'taken' | 'replaced' | 'state' | 'nextIndex'>;
export type NewReading = Omit<TakenReading, 'id'>;
export interface RunEvent {
  readonly kind: 'handled' | 'withdrawn' | 'resumed' | 'accepted' | 'discarded';
  readonly readingIndex?: number;
  readonly readingId?: number;
  readonly reason: string;
  readonly operator: string;
  readonly at: string;
}

/** Errors: AppError 'calibration-run-not-found'. */
export function getStoredRun(database: ReadableDatabase, id: string): StoredRun {
  return reading(() => {
    const row = database.prepare<[string], RunRow>('SELECT * FROM calibration_run WHERE id = ?').get(id);
    if (row) return toRun(database, row);
    throw new AppError(
      'calibration-run-not-found',
      'There is no such calibration run. Nothing was changed. Open Calibrate to see the run that is open.',
      { runId: id },
    );
  });
}

/** As far as it has come; `paused` where readings are still to be taken. Errors: AppError 'calibration-run-not-found'. */
export function getRun(database: ReadableDatabase, id: string): CalibrationRun {
  return getStoredRun(database, id).run;
}

/** The run on a transducer that was neither accepted nor discarded yet. */
export function findOpenRun(database: ReadableDatabase, transducerId: string): StoredRun | null {
  return reading(() => {
    const id = database
      .prepare<[string], string>('SELECT id FROM open_calibration_run WHERE transducer_id = ?')
      .pluck()
      .get(transducerId);
    return id === undefined ? null : getStoredRun(database, id);
  });
}

/** Errors: AppError 'invalid-state' while another run is open on the transducer. */
export function insertRun(database: WritableDatabase, run: NewRun): void {
  writing(database, () => {
    const open = findOpenRun(database, run.transducerId);
    if (open !== null) {
      throw new AppError(
        'invalid-state',
        'A calibration run is open on this transducer already. Nothing was started. Go on with it, or discard it first.',
        { runId: open.run.id },
      );
    }
    database
      .prepare(
        `INSERT INTO calibration_run (id, transducer_id, amplifier_id, is_simulated, setup_json, plan_json, operator,
           started_at)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
      )
      .run(
        run.id,
        run.transducerId,
        run.amplifierId,
        Number(run.isSimulated),
        toJsonColumn(runSetupSchema, run.setup),
        toJsonColumn(planSchema, run.readings),
        run.operator,
        run.startedAt,
      );
  });
}

/** Returns once it is on the disk. */
export function insertReading(database: WritableDatabase, runId: string, taken: NewReading): void {
  writing(database, () => {
    database
      .prepare(
        `INSERT INTO calibration_reading (run_id, reading_index, mean_counts, standard_deviation_counts, spread_counts,
           drift_counts_per_s, sample_count, duration_s, taken_at, taken_by, flags_json)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
      )
      .run(
        runId,
        taken.index,
        taken.meanCounts,
        taken.standardDeviationCounts,
        taken.spreadCounts,
        taken.driftCountsPerS,
        taken.sampleCount,
        taken.durationS,
        taken.takenAt,
        taken.by,
        toJsonColumn(flagsSchema, taken.flags),
      );
  });
}

export function insertRunEvent(database: WritableDatabase, runId: string, event: RunEvent): void {
  writing(database, () => {
    database
      .prepare(
        `INSERT INTO calibration_run_event (run_id, kind, reading_index, reading_id, reason, operator, at)
         VALUES (?, ?, ?, ?, ?, ?, ?)`,
      )
      .run(
        runId,
        event.kind,
        event.readingIndex ?? null,
        event.readingId ?? null,
        event.reason,
        event.operator,
        event.at,
      );
  });
}

function toRun(database: ReadableDatabase, row: RunRow): StoredRun {
  const events = database
    .prepare<[string], EventRow>(
      'SELECT kind, reading_index, reading_id FROM calibration_run_event WHERE run_id = ? ORDER BY id',
    )
    .all(row.id);
  const all = database
    .prepare<[string], ReadingRow>('SELECT * FROM calibration_reading WHERE run_id = ? ORDER BY id')
    .all(row.id)
    .map(toReading);
  const taken = countingReadings(all, new Set(events.map(({ reading_id }) => reading_id)));
  const counting = new Set(taken.map(({ id }) => id));
  const readings = fromJsonColumn(planSchema, row.plan_json, `plan of calibration run ${row.id}`);
  const next = nextIndex(readings, taken);
  const handledIndices = events.flatMap(({ kind, reading_index }) =>
    kind === 'handled' && reading_index !== null ? [reading_index] : [],
  );
  const reached = [...all.map(({ index }) => index), ...handledIndices];
  return {
    run: {
      id: row.id,
      transducerId: row.transducer_id,
      amplifierId: row.amplifier_id,
      isSimulated: row.is_simulated === 1,
      setup: fromJsonColumn(runSetupSchema, row.setup_json, `setup of calibration run ${row.id}`),
      readings,
      taken,
      replaced: all.filter(({ id }) => !counting.has(id)),
      state: stateOf(events, next),
      nextIndex: next,
      operator: row.operator,
      startedAt: row.started_at,
    },
    handledIndices,
    standingIndex: reached.length === 0 ? null : Math.max(...reached),
  };
}

function stateOf(events: readonly EventRow[], next: number | null): Exclude<RunState, 'running'> {
  if (events.some(({ kind }) => kind === 'accepted')) return 'accepted';
  if (events.some(({ kind }) => kind === 'discarded')) return 'discarded';
  return next === null ? 'complete' : 'paused';
}

function toReading(row: ReadingRow): TakenReading {
  return takenReadingSchema.parse({
    id: row.id,
    index: row.reading_index,
    meanCounts: row.mean_counts,
    standardDeviationCounts: row.standard_deviation_counts,
    spreadCounts: row.spread_counts,
    driftCountsPerS: row.drift_counts_per_s,
    sampleCount: row.sample_count,
    durationS: row.duration_s,
    takenAt: row.taken_at,
    by: row.taken_by,
    flags: fromJsonColumn(flagsSchema, row.flags_json, `flags of calibration reading ${row.id}`),
  });
}
