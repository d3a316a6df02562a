import type { CurveDataset } from './curve-dataset.ts';
import { binsInPicture, columnOf, type ColumnMapping } from './trace-mapping.ts';
import { TILE_COLUMNS, type TraceSurface } from './trace-tiles.ts';

export interface TraceScale {
  readonly mapping: ColumnMapping;
  readonly heightPx: number;
  /** One past the last bin that may be drawn. */
  readonly endBin: number;
  /** Values are in the unit of the dataset. */
  readonly minValue: number;
  readonly maxValue: number;
  readonly color: string;
  readonly lineWidth: number;
}

interface Point {
  readonly column: number;
  readonly y: number;
}

/**
 * Draws the live trace: all of it once, then only what is new.
 *
 * Bins that share a column of pixels are joined to their least and greatest value first, so that the work per frame
 * depends on the pixels that are new and not on the sample rate.
 */
export class TracePainter {
  readonly #surface: TraceSurface;
  #nextBin = 0;
  #firstColumn = 0;
  /** The column that is still being filled. */
  #column = 0;
  #low = Number.POSITIVE_INFINITY;
  #high = Number.NEGATIVE_INFINITY;
  /** The line that is not on its tiles yet; it begins where the line so far ends, and is empty after a gap. */
  #line: Point[] = [];

  constructor(surface: TraceSurface) {
    this.#surface = surface;
  }

  clear(): void {
    this.#surface.clear();
  }

  /** Draws everything that is in the picture. */
  redraw(dataset: CurveDataset, scale: TraceScale): void {
    this.#surface.clear();
    this.#scrollTo(scale.mapping.firstColumn);
    const { fromBin } = binsInPicture(scale.mapping, dataset.samplesPerBin);
    // One bin before the edge, so that the line enters the picture instead of beginning in it.
    this.#nextBin = Math.max(fromBin - 1, dataset.startBin);
    this.#line = [];
    this.#emptyColumn();
    this.#drawNewBins(dataset, scale);
  }

  /** Draws what came since, after the picture has slid to where the mapping has scrolled. */
  advance(dataset: CurveDataset, scale: TraceScale): void {
    const { firstColumn, columnCount } = scale.mapping;
    if (firstColumn - this.#firstColumn >= columnCount || this.#nextBin < dataset.startBin) {
      this.redraw(dataset, scale);
      return;
    }
    if (firstColumn !== this.#firstColumn) this.#scrollTo(firstColumn);
    this.#drawNewBins(dataset, scale);
  }

  #scrollTo(firstColumn: number): void {
    this.#firstColumn = firstColumn;
    this.#surface.scrollTo(firstColumn);
  }

  #drawNewBins(dataset: CurveDataset, scale: TraceScale): void {
    const { toBin } = binsInPicture(scale.mapping, dataset.samplesPerBin);
    const endBin = Math.min(dataset.endBin, toBin + 1, scale.endBin);
    for (; this.#nextBin < endBin; this.#nextBin += 1) {
      this.#takeBin(dataset, scale);
    }
    this.#putLineOnTiles(scale);
  }

  #takeBin(dataset: CurveDataset, scale: TraceScale): void {
    const low = dataset.minAt(this.#nextBin);
    const high = dataset.maxAt(this.#nextBin);
    if (Number.isNaN(low)) {
      this.#closeColumn(scale);
      this.#putLineOnTiles(scale);
      this.#line = [];
      return;
    }
    const middleSlot = (this.#nextBin + 0.5) * dataset.samplesPerBin;
    const column = columnOf(scale.mapping, middleSlot);
    if (column !== this.#column) this.#closeColumn(scale);
    this.#column = column;
    this.#low = Math.min(this.#low, low);
    this.#high = Math.max(this.#high, high);
  }

  #closeColumn(scale: TraceScale): void {
    if (this.#low > this.#high) return;
    const yLow = this.#yOf(this.#low, scale);
    const yHigh = this.#yOf(this.#high, scale);
    const end = this.#line.at(-1);
    // The nearer end first, so that the line does not cross the column twice.
    const isLowNearer = end === undefined || Math.abs(end.y - yLow) <= Math.abs(end.y - yHigh);
    const [first, second] = isLowNearer ? [yLow, yHigh] : [yHigh, yLow];
    this.#line.push({ column: this.#column, y: first }, { column: this.#column, y: second });
    if (tileOf(this.#column) !== tileOf(this.#line[0]?.column ?? 0)) this.#putLineOnTiles(scale);
    this.#emptyColumn();
  }

  #emptyColumn(): void {
    this.#low = Number.POSITIVE_INFINITY;
    this.#high = Number.NEGATIVE_INFINITY;
  }

  /** A line near the edge of a tile shows on its neighbour too, by its width. */
  #putLineOnTiles({ mapping, color, lineWidth }: TraceScale): void {
    const [start] = this.#line;
    const end = this.#line.at(-1);
    if (start === undefined || end === undefined || start === end) return;
    const fromTile = Math.max(tileOf(start.column - lineWidth), tileOf(mapping.firstColumn));
    const lastColumn = mapping.firstColumn + mapping.columnCount;
    const toTile = Math.min(tileOf(end.column + lineWidth), tileOf(lastColumn));
    for (let tile = fromTile; tile <= toTile; tile += 1) {
      const context = this.#surface.tile(tile);
      context.strokeStyle = color;
      context.lineWidth = lineWidth;
      context.lineJoin = 'round';
      context.lineCap = 'round';
      context.beginPath();
      this.#line.forEach(({ column, y }, index) => {
        const x = column - tile * TILE_COLUMNS + 0.5;
        if (index === 0) context.moveTo(x, y);
        else context.lineTo(x, y);
      });
      context.stroke();
    }
    this.#line = [end];
  }

  #yOf(value: number, { heightPx, minValue, maxValue }: TraceScale): number {
    return ((maxValue - value) / (maxValue - minValue)) * heightPx;
  }
}

function tileOf(column: number): number {
  return Math.floor(column / TILE_COLUMNS);
}
