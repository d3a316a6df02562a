import { z } from 'zod';
import { countingReadings } from '../calibration/counting-readings.ts';
import {
  plannedReadingSchema,
  type PlannedReading,
  readingFlagSchema,
  type RunSetup,
  runSetupSchema,
  type TakenReading,
  takenReadingSchema,
} from '../calibration/run-model.ts';
import { NotAPackage } from './not-a-package.ts';
import { inOrderOfIds, type PackageTables } from './read-tables.ts';
import { reasonOf, type TableRow } from './table-row.ts';

/** A guided calibration as far as its result rests on it. */
export interface StoredRun {
  readonly amplifierId: string | null;
  readonly startedAt: string;
  readonly setup: RunSetup;
  readonly readings: readonly PlannedReading[];
  /** Those that count, by index. */
  readonly taken: readonly TakenReading[];
}

/** Errors: NotAPackage where it is not there, or cannot be read. */
export function readRun(tables: PackageTables, runId: string): StoredRun {
  const row = tables.rows('calibration_run').find((candidate) => candidate.text('id') === runId);
  if (row === undefined) {
    throw new NotAPackage('data/calibration_run.csv', `The guided run ${runId} is not in it.`);
  }
  const all = inOrderOfIds(tables.rows('calibration_reading'))
    .filter((reading) => reading.text('run_id') === runId)
    .map(toReading);
  const withdrawn = tables
    .rows('calibration_run_event')
    .filter((event) => event.text('run_id') === runId)
    .map((event) => event.numberOrNull('reading_id'));
  return {
    amplifierId: row.textOrNull('amplifier_id'),
    startedAt: row.text('started_at'),
    setup: row.json('setup_json', runSetupSchema),
    readings: row.json('plan_json', z.array(plannedReadingSchema)),
    taken: countingReadings(all, new Set(withdrawn)),
  };
}

function toReading(row: TableRow): TakenReading {
  const reading = takenReadingSchema.safeParse({
    id: row.number('id'),
    index: row.number('reading_index'),
    meanCounts: row.number('mean_counts'),
    standardDeviationCounts: row.number('standard_deviation_counts'),
    spreadCounts: row.number('spread_counts'),
    driftCountsPerS: row.number('drift_counts_per_s'),
    sampleCount: row.number('sample_count'),
    durationS: row.number('duration_s'),
    takenAt: row.text('taken_at'),
    by: row.text('taken_by'),
    flags: row.json('flags_json', z.array(readingFlagSchema)),
  });
  if (!reading.success) throw new NotAPackage(row.where, reasonOf(reading.error));
  return reading.data;
}
