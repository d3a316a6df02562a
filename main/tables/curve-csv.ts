import type { SlotRange } from '../../shared-lib/signal/sample-block.ts';
import { measuringCurve, measuringWindowSamples } from '../../shared-lib/signal/measuring-curve.ts';
import type { Cell, CsvForm } from '../../shared-lib/tables/write-csv.ts';
import { writeCsv } from '../../shared-lib/tables/write-csv.ts';
import { type ReadableDatabase } from '../storage/database.ts';
import { readRecording } from '../storage/recording-repository.ts';
import type { TabledTrial } from './tabled-trial.ts';

/** A spreadsheet takes 1 048 576 lines (MEM). */
export const MOST_LINES_PER_FILE = 1_000_000;
const LINES_PER_PIECE = 50_000;

const header: readonly Cell[] = ['time_s', 'torque_nm', 'measuring_torque_nm'];

export interface CurvePart {
  /** From 1; 0 where there is only one. */
  readonly number: number;
  readonly pieces: () => Generator<string>;
}

/**
 * The curve of a trial as CSV: time from onset, raw torque and measuring curve, both positive in the direction of the step. A
 * lost sample has no line. Null for a trial that was never kept. The record is held whole while it is written, as it is where
 * it is measured.
 */
export function curveParts(
  database: () => ReadableDatabase,
  trial: TabledTrial,
  form: CsvForm,
  mostLines = MOST_LINES_PER_FILE,
): CurvePart[] | null {
  const { toTorqueNm, record } = trial;
  if (toTorqueNm === null) return null;
  const partCount = Math.max(1, Math.ceil(record.slotCount / mostLines));
  return Array.from({ length: partCount }, (_, index) => ({
    number: partCount === 1 ? 0 : index + 1,
    *pieces() {
      const { torqueNm, measuringNm } = readCurves(database(), trial, toTorqueNm);
      yield `\uFEFF${writeCsv([header], form)}`;
      const end = Math.min(torqueNm.length, (index + 1) * mostLines);
      for (let from = index * mostLines; from < end; from += LINES_PER_PIECE) {
        const rows: Cell[][] = [];
        for (let slot = from; slot < Math.min(end, from + LINES_PER_PIECE); slot += 1) {
          const raw = torqueNm[slot] ?? Number.NaN;
          if (Number.isNaN(raw)) continue;
          const measured = measuringNm?.[slot] ?? Number.NaN;
          rows.push([trial.timeS(slot), raw, Number.isNaN(measured) ? null : measured]);
        }
        yield writeCsv(rows, form);
      }
    },
  }));
}

function readCurves(
  database: ReadableDatabase,
  { record }: TabledTrial,
  toTorqueNm: (counts: number) => number,
): { readonly torqueNm: Float64Array; readonly measuringNm: Float64Array | null } {
  const { counts, gaps } = readRecording(database, record.summary.id);
  const torqueNm = Float64Array.from(counts, toTorqueNm);
  leaveOut(torqueNm, gaps);
  const windowSamples = measuringWindowSamples(
    record.conditions.profile.nominalRateHz,
    record.figures?.windowS,
  );
  return { torqueNm, measuringNm: windowSamples === null ? null : measuringCurve(torqueNm, windowSamples) };
}

function leaveOut(torqueNm: Float64Array, gaps: readonly SlotRange[]): void {
  for (const { offset, length } of gaps) torqueNm.fill(Number.NaN, offset, offset + length);
}
