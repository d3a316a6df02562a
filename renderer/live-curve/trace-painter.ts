import type { CurveDataset } from './curve-dataset.ts';
import { binsInPicture, columnOf, type ColumnMapping } from './trace-mapping.ts';

/** Where on the canvas the trace goes, in device pixels, and how values become heights. */
export interface PlotArea {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

export interface TraceScale {
  readonly area: PlotArea;
  readonly mapping: ColumnMapping;
  /** One past the last bin that may be drawn. */
  readonly endBin: number;
  /** Values are in the unit of the dataset. */
  readonly minValue: number;
  readonly maxValue: number;
  readonly color: string;
  readonly lineWidth: number;
}

/**
 * Draws the live trace on a canvas of its own: all of it once, then only what is new.
 *
 * Bins that share a column of pixels are joined to their least and greatest value first, so that the work per frame
 * depends on the pixels that are new and not on the sample rate.
 */
export class TracePainter {
  readonly #context: CanvasRenderingContext2D;
  #nextBin = 0;
  #drawnMapping: ColumnMapping | null = null;
  /** The column that is still being filled. */
  #column = 0;
  #low = Number.POSITIVE_INFINITY;
  #high = Number.NEGATIVE_INFINITY;
  /** End of the line drawn so far; null after a gap. */
  #pen: { readonly column: number; readonly y: number } | null = null;

  constructor(context: CanvasRenderingContext2D) {
    this.#context = context;
  }

  clear(): void {
    this.#context.clearRect(0, 0, this.#context.canvas.width, this.#context.canvas.height);
  }

  /** Draws everything that is in the picture. */
  redraw(dataset: CurveDataset, scale: TraceScale): void {
    this.clear();
    const { fromBin } = binsInPicture(scale.mapping, dataset.samplesPerBin);
    // One bin before the edge, so that the line enters the picture instead of beginning in it.
    this.#nextBin = Math.max(fromBin - 1, dataset.startBin);
    this.#drawnMapping = scale.mapping;
    this.#liftPen();
    this.#drawNewBins(dataset, scale);
  }

  /** Draws what came since; shifts the picture first where the mapping has scrolled. */
  advance(dataset: CurveDataset, scale: TraceScale): void {
    const shift = scale.mapping.firstColumn - (this.#drawnMapping?.firstColumn ?? 0);
    if (shift >= scale.mapping.columnCount || this.#nextBin < dataset.startBin) {
      this.redraw(dataset, scale);
      return;
    }
    if (shift > 0) this.#shift(scale.area, shift);
    this.#drawnMapping = scale.mapping;
    this.#drawNewBins(dataset, scale);
  }

  #shift(area: PlotArea, columns: number): void {
    const context = this.#context;
    context.save();
    this.#clipTo(area);
    context.globalCompositeOperation = 'copy';
    context.drawImage(context.canvas, -columns, 0);
    context.restore();
  }

  #drawNewBins(dataset: CurveDataset, scale: TraceScale): void {
    const { mapping, area } = scale;
    const { toBin } = binsInPicture(mapping, dataset.samplesPerBin);
    const endBin = Math.min(dataset.endBin, toBin + 1, scale.endBin);
    if (this.#nextBin >= endBin) return;

    const context = this.#context;
    context.save();
    this.#clipTo(area);
    context.strokeStyle = scale.color;
    context.lineWidth = scale.lineWidth;
    context.lineJoin = 'round';
    context.lineCap = 'round';
    context.beginPath();
    if (this.#pen !== null) context.moveTo(this.#xOf(this.#pen.column, scale), this.#pen.y);
    for (; this.#nextBin < endBin; this.#nextBin += 1) {
      this.#takeBin(dataset, scale);
    }
    context.stroke();
    context.restore();
  }

  #takeBin(dataset: CurveDataset, scale: TraceScale): void {
    const low = dataset.minAt(this.#nextBin);
    const high = dataset.maxAt(this.#nextBin);
    if (Number.isNaN(low)) {
      this.#closeColumn(scale);
      this.#pen = null;
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
    const context = this.#context;
    const x = this.#xOf(this.#column, scale);
    const yLow = this.#yOf(this.#low, scale);
    const yHigh = this.#yOf(this.#high, scale);
    const penY = this.#pen?.y ?? yLow;
    // The nearer end first, so that the line does not cross the column twice.
    const isLowNearer = Math.abs(penY - yLow) <= Math.abs(penY - yHigh);
    const [first, second] = isLowNearer ? [yLow, yHigh] : [yHigh, yLow];
    if (this.#pen === null) context.moveTo(x, first);
    else context.lineTo(x, first);
    context.lineTo(x, second);
    this.#pen = { column: this.#column, y: second };
    this.#low = Number.POSITIVE_INFINITY;
    this.#high = Number.NEGATIVE_INFINITY;
  }

  #liftPen(): void {
    this.#pen = null;
    this.#low = Number.POSITIVE_INFINITY;
    this.#high = Number.NEGATIVE_INFINITY;
  }

  #xOf(column: number, { area, mapping }: TraceScale): number {
    return area.left + column - mapping.firstColumn + 0.5;
  }

  #yOf(value: number, { area, minValue, maxValue }: TraceScale): number {
    return area.top + ((maxValue - value) / (maxValue - minValue)) * area.height;
  }

  #clipTo({ left, top, width, height }: PlotArea): void {
    this.#context.beginPath();
    this.#context.rect(left, top, width, height);
    this.#context.clip();
  }
}
