import { createParquetFile, type ParquetColumn, type ParquetFile } from './parquet-file.ts';
import type { PresentRun, TabledTrial } from './tabled-trial.ts';

/** Enough for a reader that scans and for the compressor, and some 10 MB while it is filled. */
const ROWS_PER_GROUP = 2 ** 18;
/** Some 500 MB; larger files cannot be read by many at a time. */
const ROWS_PER_FILE = 2 ** 26;

const columns: readonly ParquetColumn[] = [
  { name: 'trial_id', type: 'string', isNullable: false },
  { name: 'slot', type: 'int', isNullable: false },
  { name: 'counts', type: 'int', isNullable: false },
  { name: 'time_s', type: 'double', isNullable: false, isEven: true },
  { name: 'torque_nm', type: 'double', isNullable: true },
];

export interface SampleRows {
  /** Of one trial after the other. After each row group, a moment to look for a cancellation: the slot it has come to. */
  readonly add: (trial: TabledTrial, run: PresentRun) => Generator<number>;
  /** Returns the bytes of all files. */
  readonly close: () => number;
  readonly abandon: () => void;
}

/** The samples of one bench and day, in as many files as it takes; `pathOf` names part 0, 1, and so on. */
export function createSampleRows(
  pathOf: (part: number) => string,
  limits: { readonly rowsPerGroup: number; readonly rowsPerFile: number } = {
    rowsPerGroup: ROWS_PER_GROUP,
    rowsPerFile: ROWS_PER_FILE,
  },
): SampleRows {
  const { rowsPerGroup, rowsPerFile } = limits;
  const slot = new Int32Array(rowsPerGroup);
  const counts = new Int32Array(rowsPerGroup);
  const timeS = new Float64Array(rowsPerGroup);
  let trialIds: string[] = [];
  let torqueNm: (number | null)[] = [];
  let partCount = 0;
  let bytes = 0;
  let file: ParquetFile | null = null;

  const writeGroup = (): void => {
    const rows = trialIds.length;
    if (rows === 0) return;
    if (file === null) {
      file = createParquetFile(pathOf(partCount), columns);
      partCount += 1;
    }
    file.writeRows([
      trialIds,
      slot.subarray(0, rows),
      counts.subarray(0, rows),
      timeS.subarray(0, rows),
      torqueNm,
    ]);
    trialIds = [];
    torqueNm = [];
    if (file.rowCount < rowsPerFile) return;
    bytes += file.close();
    file = null;
  };

  return {
    *add({ record, timeS: timeOf, toTorqueNm }, run) {
      const trialId = record.summary.id;
      for (let index = 0; index < run.counts.length; index += 1) {
        const row = trialIds.length;
        const count = run.counts[index] ?? 0;
        slot[row] = run.firstSlot + index;
        counts[row] = count;
        timeS[row] = timeOf(run.firstSlot + index);
        trialIds.push(trialId);
        torqueNm.push(toTorqueNm === null ? null : toTorqueNm(count));
        if (row + 1 < rowsPerGroup) continue;
        writeGroup();
        yield run.firstSlot + index;
      }
    },
    close() {
      writeGroup();
      if (file !== null) bytes += file.close();
      file = null;
      return bytes;
    },
    abandon() {
      file?.abandon();
      file = null;
    },
  };
}
