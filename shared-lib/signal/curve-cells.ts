import type { WorkInPieces } from '../work-in-pieces.ts';

/** Few cells for a whole trial, and little to look at one by one where a bin begins or ends inside a cell. */
export const CELL_SAMPLES = 64;

/** Samples between two turns of others: about a millisecond. */
const PIECE_CELLS = 4096;

/**
 * A stored curve with what each cell of 64 samples comes to, so that any stretch of it is drawn without looking at every
 * sample. `values[i]` is the sample of slot i, NaN where it was lost.
 */
export interface CurveCells {
  readonly values: Float64Array;
  /** Infinity and -Infinity where a cell holds no sample. */
  readonly least: Float64Array;
  readonly greatest: Float64Array;
  readonly sum: Float64Array;
  readonly present: Uint8Array;
}

export function* foldIntoCells(values: Float64Array): WorkInPieces<CurveCells> {
  const cellCount = Math.ceil(values.length / CELL_SAMPLES);
  const cells: CurveCells = {
    values,
    least: new Float64Array(cellCount),
    greatest: new Float64Array(cellCount),
    sum: new Float64Array(cellCount),
    present: new Uint8Array(cellCount),
  };
  for (let cell = 0; cell < cellCount; cell += PIECE_CELLS) {
    foldCells(cells, cell, Math.min(cell + PIECE_CELLS, cellCount));
    yield;
  }
  return cells;
}

function foldCells(
  { values, least, greatest, sum, present }: CurveCells,
  fromCell: number,
  toCell: number,
): void {
  for (let cell = fromCell; cell < toCell; cell += 1) {
    const end = Math.min((cell + 1) * CELL_SAMPLES, values.length);
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    let total = 0;
    let count = 0;
    for (let slot = cell * CELL_SAMPLES; slot < end; slot += 1) {
      const value = values[slot] ?? Number.NaN;
      if (Number.isNaN(value)) continue;
      if (value < low) low = value;
      if (value > high) high = value;
      total += value;
      count += 1;
    }
    least[cell] = low;
    greatest[cell] = high;
    sum[cell] = total;
    present[cell] = count;
  }
}

/** The same bins and values as `reduceMinMax` of the samples, for slots from `fromSlot` up to, not including, `toSlot`. */
export function reduceCells(
  { values, least, greatest }: CurveCells,
  fromSlot: number,
  toSlot: number,
  bins: number,
): { readonly min: Float64Array; readonly max: Float64Array } {
  const isWhole = [fromSlot, toSlot, bins].every(Number.isInteger);
  if (!isWhole || fromSlot < 0 || toSlot > values.length || fromSlot > toSlot || bins < 1) {
    throw new RangeError(`Cannot put slots ${fromSlot} to ${toSlot} of ${values.length} into ${bins} bins.`);
  }
  const slotCount = toSlot - fromSlot;
  const binCount = Math.min(bins, slotCount);
  const min = new Float64Array(binCount);
  const max = new Float64Array(binCount);
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  const lookAtSlots = (from: number, to: number): void => {
    for (let slot = from; slot < to; slot += 1) {
      const value = values[slot] ?? Number.NaN;
      if (value < low) low = value;
      if (value > high) high = value;
    }
  };
  let start = fromSlot;
  for (let bin = 0; bin < binCount; bin += 1) {
    const end = fromSlot + Math.floor(((bin + 1) * slotCount) / binCount);
    low = Number.POSITIVE_INFINITY;
    high = Number.NEGATIVE_INFINITY;
    const { firstCell, endCell } = cellsWithin(start, end);
    if (firstCell < endCell) {
      lookAtSlots(start, firstCell * CELL_SAMPLES);
      for (let cell = firstCell; cell < endCell; cell += 1) {
        const [cellLow = low, cellHigh = high] = [least[cell], greatest[cell]];
        if (cellLow < low) low = cellLow;
        if (cellHigh > high) high = cellHigh;
      }
      lookAtSlots(endCell * CELL_SAMPLES, end);
    } else {
      lookAtSlots(start, end);
    }
    min[bin] = low > high ? Number.NaN : low;
    max[bin] = low > high ? Number.NaN : high;
    start = end;
  }
  return { min, max };
}

/**
 * The measuring curve at some slots only: `measuringCurve(values, windowSamples)[slot]` for each of them, but for the order in
 * which a sum is taken (a last digit or two of a double).
 */
export function meansAround(
  cells: CurveCells,
  slots: ArrayLike<number>,
  windowSamples: number,
): Float64Array {
  if (!Number.isInteger(windowSamples) || windowSamples < 1 || windowSamples % 2 === 0) {
    throw new RangeError(`A centred window takes an odd number of samples; ${windowSamples} is not one.`);
  }
  const half = (windowSamples - 1) / 2;
  return Float64Array.from(slots, (slot) => {
    const start = Math.max(0, slot - half);
    const end = Math.min(cells.values.length, slot + half + 1);
    const { total, count } = sumOf(cells, start, end);
    return 2 * count < windowSamples ? Number.NaN : total / count;
  });
}

function sumOf(
  { values, sum, present }: CurveCells,
  start: number,
  end: number,
): { readonly total: number; readonly count: number } {
  let total = 0;
  let count = 0;
  const addSlots = (from: number, to: number): void => {
    for (let slot = from; slot < to; slot += 1) {
      const value = values[slot] ?? Number.NaN;
      if (Number.isNaN(value)) continue;
      total += value;
      count += 1;
    }
  };
  const { firstCell, endCell } = cellsWithin(start, end);
  if (firstCell >= endCell) {
    addSlots(start, end);
    return { total, count };
  }
  addSlots(start, firstCell * CELL_SAMPLES);
  for (let cell = firstCell; cell < endCell; cell += 1) {
    total += sum[cell] ?? 0;
    count += present[cell] ?? 0;
  }
  addSlots(endCell * CELL_SAMPLES, end);
  return { total, count };
}

/** Cells that lie in the stretch with all their samples; none where `firstCell` is not before `endCell`. */
function cellsWithin(start: number, end: number): { readonly firstCell: number; readonly endCell: number } {
  return { firstCell: Math.ceil(start / CELL_SAMPLES), endCell: Math.floor(end / CELL_SAMPLES) };
}
