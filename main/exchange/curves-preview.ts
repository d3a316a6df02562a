import { torqueOfCurve } from '../../shared-lib/exchange/curves/curve-trial.ts';
import type { ReadCurve } from '../../shared-lib/exchange/curves/read-curves.ts';
import type { CurveMapping, CurvesPreview } from '../../shared-lib/exchange/exchange-requests.ts';
import { countLostSlots } from '../../shared-lib/signal/sample-block.ts';
import { reading } from '../storage/database.ts';
import { withReadOnlyDatabase } from '../tables/read-only-database.ts';
import type { Work } from '../work/work-tools.ts';
import { readCurvesFile } from './curves-file.ts';

export interface CurvesPreviewWork {
  readonly databasePath: string;
  readonly file: string;
  readonly fileName: string;
  readonly mapping: CurveMapping | null;
}

/** Of each curve, least and greatest of so many pieces: more than a picture has columns. */
const SHOWN_PIECES = 600;

/** Errors: AppError 'import-refused' for what is no table at all. */
export const previewCurves: Work<CurvesPreviewWork, CurvesPreview> = async (work) => {
  const { mapping, read, fingerprint } = readCurvesFile(work.file, work.fileName, work.mapping);
  const takenInAt = await withReadOnlyDatabase(work.databasePath, ({ database }) =>
    Promise.resolve(
      reading(() =>
        database()
          .prepare<[string], string>('SELECT at FROM import WHERE fingerprint = ? ORDER BY at DESC LIMIT 1')
          .pluck()
          .get(fingerprint),
      ),
    ),
  );
  const repeated =
    takenInAt === undefined
      ? []
      : [
          `This very file was taken in on ${takenInAt.slice(0, 10)} already. Taking it in again would make its trials a second time.`,
        ];
  return {
    mapping,
    columns: [...read.columns],
    rows: read.rows.map((row) => [...row]),
    rowCount: read.rowCount,
    curves: read.curves.map(shown),
    problems: [...read.problems],
    remarks: [...repeated, ...read.remarks],
  };
};

function shown(curve: ReadCurve): CurvesPreview['curves'][number] {
  const torqueNm = torqueOfCurve(curve);
  const { label, sampleRateHz, gaps } = curve;
  const pieces = Math.min(SHOWN_PIECES, torqueNm.length);
  const slots: number[] = [];
  for (let piece = 0; piece < pieces; piece += 1) {
    const from = Math.floor((piece * torqueNm.length) / pieces);
    const to = Math.floor(((piece + 1) * torqueNm.length) / pieces);
    slots.push(...extremeSlots(torqueNm, from, to));
  }
  return {
    label,
    sampleRateHz,
    lostCount: countLostSlots(gaps),
    timeS: Float64Array.from(slots, (slot) => slot / sampleRateHz),
    torqueNm: Float64Array.from(slots, (slot) => torqueNm[slot] ?? Number.NaN),
  };
}

/** Where the least and the greatest value of a range are, in order of time; none where all were lost. */
function extremeSlots(torqueNm: Float64Array, from: number, to: number): number[] {
  let least = -1;
  let greatest = -1;
  for (let slot = from; slot < to; slot += 1) {
    const value = torqueNm[slot] ?? Number.NaN;
    if (Number.isNaN(value)) continue;
    if (least < 0 || value < (torqueNm[least] ?? 0)) least = slot;
    if (greatest < 0 || value > (torqueNm[greatest] ?? 0)) greatest = slot;
  }
  if (least < 0) return [];
  if (least === greatest) return [least];
  return least < greatest ? [least, greatest] : [greatest, least];
}
