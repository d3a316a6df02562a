import {
  addCell,
  addSample,
  type CurveCells,
  noMoments,
  type StretchVisitor,
  visitStretch,
} from '../signal/curve-cells.ts';

export interface TorqueRecord {
  /** Raw calibrated samples of the whole record in N·m, as the curve shows them: clockwise is positive; NaN: lost. */
  readonly cells: CurveCells;
  /** Position of onset in samples from the record's first one, with fractions. */
  readonly onsetSlot: number;
  readonly sampleRateHz: number;
}

export interface WindowFigures {
  /** Samples that arrived, and those that were lost. */
  readonly sampleCount: number;
  readonly lostCount: number;
  readonly meanNm: number | null;
  readonly leastNm: number | null;
  readonly greatestNm: number | null;
  readonly standardDeviationNm: number | null;
  readonly impulseNms: number | null;
}

/**
 * What the raw samples between two times from onset come to, both times included, as far as the record reaches. Sample i
 * lies at (i - onsetSlot) / sampleRateHz seconds.
 *
 * Mean, least and greatest are of the samples that arrived; the standard deviation is that of a sample (n - 1); the impulse
 * is the integral from the first of them to the last by the trapezoid rule, on the straight line across lost samples. Null:
 * no sample arrived, or for the last two, only one did.
 */
export function windowFigures(record: TorqueRecord, fromS: number, toS: number): WindowFigures {
  const { cells, onsetSlot, sampleRateHz } = record;
  const { values } = cells;
  const first = Math.max(0, Math.ceil(onsetSlot + fromS * sampleRateHz));
  const end = Math.max(first, Math.min(values.length, Math.floor(onsetSlot + toS * sampleRateHz) + 1));
  const moments = noMoments();
  let leastNm = Number.POSITIVE_INFINITY;
  let greatestNm = Number.NEGATIVE_INFINITY;
  let areaNmSamples = 0;
  /** The newest sample that arrived. */
  let before = -1;
  const joinTo = (slot: number): void => {
    if (before >= 0) areaNmSamples += (((values[slot] ?? 0) + (values[before] ?? 0)) / 2) * (slot - before);
  };
  const visitor: StretchVisitor = {
    onSlots: (from, to) => {
      for (let slot = from; slot < to; slot += 1) {
        const value = values[slot] ?? Number.NaN;
        if (Number.isNaN(value)) continue;
        addSample(moments, value);
        leastNm = Math.min(leastNm, value);
        greatestNm = Math.max(greatestNm, value);
        joinTo(slot);
        before = slot;
      }
    },
    onCells: (level, from, to, height) => {
      const { cellSamples, present, sum, least, greatest } = level;
      for (let cell = from; cell < to; cell += 1) {
        const start = cell * cellSamples;
        const last = start + cellSamples - 1;
        if (present[cell] !== cellSamples) {
          // Where samples were lost, what lies beside them decides.
          visitStretch(cells, start, last + 1, visitor, height);
          continue;
        }
        addCell(moments, level, cell);
        leastNm = Math.min(leastNm, least[cell] ?? leastNm);
        greatestNm = Math.max(greatestNm, greatest[cell] ?? greatestNm);
        joinTo(start);
        areaNmSamples += (sum[cell] ?? 0) - ((values[start] ?? 0) + (values[last] ?? 0)) / 2;
        before = last;
      }
    },
  };
  visitStretch(cells, first, end, visitor);
  const { count: sampleCount, sum: sumNm, squares } = moments;
  const lostCount = end - first - sampleCount;
  if (sampleCount === 0) {
    return {
      sampleCount,
      lostCount,
      meanNm: null,
      leastNm: null,
      greatestNm: null,
      standardDeviationNm: null,
      impulseNms: null,
    };
  }
  return {
    sampleCount,
    lostCount,
    meanNm: sumNm / sampleCount,
    leastNm,
    greatestNm,
    standardDeviationNm: sampleCount < 2 ? null : Math.sqrt(squares / (sampleCount - 1)),
    impulseNms: sampleCount < 2 ? null : areaNmSamples / sampleRateHz,
  };
}
