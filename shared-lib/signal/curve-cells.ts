import type { WorkInPieces } from '../work-in-pieces.ts';

/** Samples of the smallest cells, and cells that make up one of the next size: few are left over at the ends of a stretch. */
export const FANOUT = 16;

/** Folded between two turns of others: about a millisecond. */
const PIECE_CELLS = 16_384;

/** What each of the cells of one size comes to; those without a sample have Infinity, -Infinity and 0. */
export interface CellLevel {
  readonly cellSamples: number;
  readonly least: Float64Array;
  readonly greatest: Float64Array;
  readonly sum: Float64Array;
  /** Sum of the squared deviations from the mean of the cell. */
  readonly squares: Float64Array;
  /** Samples that were not lost. */
  readonly present: Int32Array;
}

/**
 * A stored curve with what its cells of 16, 256, 4096, ... samples come to, so that any stretch of it is drawn and summed up
 * without looking at every sample. `values[i]` is the sample of slot i, NaN where it was lost.
 */
export interface CurveCells {
  readonly values: Float64Array;
  /** The smallest cells first. */
  readonly levels: readonly CellLevel[];
}

export function* foldIntoCells(values: Float64Array): WorkInPieces<CurveCells> {
  const levels: CellLevel[] = [];
  for (let cellSamples = FANOUT; cellSamples <= values.length; cellSamples *= FANOUT) {
    const below = levels.at(-1);
    const level = emptyLevel(cellSamples, Math.ceil(values.length / cellSamples));
    const cellCount = level.sum.length;
    for (let cell = 0; cell < cellCount; cell += PIECE_CELLS) {
      const end = Math.min(cell + PIECE_CELLS, cellCount);
      if (below === undefined) foldSamples(values, level, cell, end);
      else foldCells(below, level, cell, end);
      yield;
    }
    levels.push(level);
  }
  return { values, levels };
}

function emptyLevel(cellSamples: number, cellCount: number): CellLevel {
  return {
    cellSamples,
    least: new Float64Array(cellCount),
    greatest: new Float64Array(cellCount),
    sum: new Float64Array(cellCount),
    squares: new Float64Array(cellCount),
    present: new Int32Array(cellCount),
  };
}

function foldSamples(values: Float64Array, level: CellLevel, fromCell: number, toCell: number): void {
  const { least, greatest, sum, squares, present } = level;
  for (let cell = fromCell; cell < toCell; cell += 1) {
    const start = cell * FANOUT;
    const end = Math.min(start + FANOUT, values.length);
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    let total = 0;
    let count = 0;
    for (let slot = start; slot < end; slot += 1) {
      const value = values[slot] ?? Number.NaN;
      if (Number.isNaN(value)) continue;
      if (value < low) low = value;
      if (value > high) high = value;
      total += value;
      count += 1;
    }
    const mean = total / count;
    let deviation = 0;
    for (let slot = start; slot < end; slot += 1) {
      const value = values[slot] ?? Number.NaN;
      if (!Number.isNaN(value)) deviation += (value - mean) * (value - mean);
    }
    least[cell] = low;
    greatest[cell] = high;
    sum[cell] = total;
    squares[cell] = deviation;
    present[cell] = count;
  }
}

function foldCells(below: CellLevel, level: CellLevel, fromCell: number, toCell: number): void {
  const { least, greatest, sum, squares, present } = level;
  for (let cell = fromCell; cell < toCell; cell += 1) {
    const start = cell * FANOUT;
    const end = Math.min(start + FANOUT, below.sum.length);
    const moments = noMoments();
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    for (let part = start; part < end; part += 1) {
      low = Math.min(low, below.least[part] ?? low);
      high = Math.max(high, below.greatest[part] ?? high);
      addCell(moments, below, part);
    }
    least[cell] = low;
    greatest[cell] = high;
    sum[cell] = moments.sum;
    squares[cell] = moments.squares;
    present[cell] = moments.count;
  }
}

/** Number, sum, and sum of squared deviations from the mean, of what has been added so far. */
export interface Moments {
  count: number;
  sum: number;
  squares: number;
}

export function noMoments(): Moments {
  return { count: 0, sum: 0, squares: 0 };
}

/** Deviations about two means become those about the common one (Chan, Golub and LeVeque 1979, from memory). */
export function addCell(moments: Moments, { sum, squares, present }: CellLevel, cell: number): void {
  addPart(moments, present[cell] ?? 0, sum[cell] ?? 0, squares[cell] ?? 0);
}

/** One sample that was not lost. */
export function addSample(moments: Moments, value: number): void {
  addPart(moments, 1, value, 0);
}

function addPart(moments: Moments, count: number, sum: number, squares: number): void {
  if (count === 0) return;
  if (moments.count > 0) {
    const apart = sum / count - moments.sum / moments.count;
    moments.squares += (apart * apart * count * moments.count) / (count + moments.count);
  }
  moments.count += count;
  moments.sum += sum;
  moments.squares += squares;
}

/** Takes the parts of a stretch, in order. */
export interface StretchVisitor {
  /** Slots that make up no cell. */
  readonly onSlots: (fromSlot: number, toSlot: number) => void;
  /** Cells of one level, whole within the stretch; `height`: that of the level, from 0. */
  readonly onCells: (level: CellLevel, fromCell: number, toCell: number, height: number) => void;
}

/** Cuts a stretch into the largest cells that lie in it. `height`: as many of the levels are used, the smallest first. */
export function visitStretch(
  cells: CurveCells,
  fromSlot: number,
  toSlot: number,
  visitor: StretchVisitor,
  height = cells.levels.length,
): void {
  if (fromSlot >= toSlot) return;
  const level = cells.levels[height - 1];
  if (level === undefined) {
    visitor.onSlots(fromSlot, toSlot);
    return;
  }
  const { cellSamples } = level;
  const fromCell = Math.ceil(fromSlot / cellSamples);
  const toCell = Math.floor(toSlot / cellSamples);
  if (fromCell >= toCell) {
    visitStretch(cells, fromSlot, toSlot, visitor, height - 1);
    return;
  }
  visitStretch(cells, fromSlot, fromCell * cellSamples, visitor, height - 1);
  visitor.onCells(level, fromCell, toCell, height - 1);
  visitStretch(cells, toCell * cellSamples, toSlot, visitor, height - 1);
}

/** The same bins and values as `reduceMinMax` of the samples, for slots from `fromSlot` up to, not including, `toSlot`. */
export function reduceCells(
  cells: CurveCells,
  fromSlot: number,
  toSlot: number,
  bins: number,
): { readonly min: Float64Array; readonly max: Float64Array } {
  const { values } = cells;
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
  const extremes: StretchVisitor = {
    onSlots: (from, to) => {
      for (let slot = from; slot < to; slot += 1) {
        const value = values[slot] ?? Number.NaN;
        if (value < low) low = value;
        if (value > high) high = value;
      }
    },
    onCells: ({ least, greatest }, from, to) => {
      for (let cell = from; cell < to; cell += 1) {
        const cellLow = least[cell] ?? low;
        const cellHigh = greatest[cell] ?? high;
        if (cellLow < low) low = cellLow;
        if (cellHigh > high) high = cellHigh;
      }
    },
  };
  let start = fromSlot;
  for (let bin = 0; bin < binCount; bin += 1) {
    const end = fromSlot + Math.floor(((bin + 1) * slotCount) / binCount);
    low = Number.POSITIVE_INFINITY;
    high = Number.NEGATIVE_INFINITY;
    visitStretch(cells, start, end, extremes);
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
  const { values } = cells;
  const half = (windowSamples - 1) / 2;
  let total = 0;
  let count = 0;
  const sums: StretchVisitor = {
    onSlots: (from, to) => {
      for (let slot = from; slot < to; slot += 1) {
        const value = values[slot] ?? Number.NaN;
        if (Number.isNaN(value)) continue;
        total += value;
        count += 1;
      }
    },
    onCells: ({ sum, present }, from, to) => {
      for (let cell = from; cell < to; cell += 1) {
        total += sum[cell] ?? 0;
        count += present[cell] ?? 0;
      }
    },
  };
  return Float64Array.from(slots, (slot) => {
    total = 0;
    count = 0;
    visitStretch(cells, Math.max(0, slot - half), Math.min(values.length, slot + half + 1), sums);
    return 2 * count < windowSamples ? Number.NaN : total / count;
  });
}
