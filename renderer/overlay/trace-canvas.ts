import { fromOwnUnit, formatNumber, unitLabel } from '../../shared-lib/format-quantity.ts';
import type { TorqueUnit } from '../../shared-lib/api-contract.ts';
import { type CurvePoints, GrowingCurve } from '../../shared-lib/overlay/curve-points.ts';
import { followRange, ticksOf, type ValueRange } from '../live-curve/value-range.ts';
import type { OverlayColors } from './overlay-colors.ts';

export interface TraceAxis {
  readonly fromS: number;
  readonly toS: number;
  readonly torqueUnit: TorqueUnit;
}

interface Trace {
  readonly colour: number;
  readonly curve: GrowingCurve;
  /** Where the pen is, in px of the canvas; null: before the first point, or after a gap. */
  pen: { readonly x: number; readonly y: number } | null;
}

/** So that noise does not fill the picture. */
const LEAST_TOP_NM = 10;
const LINE_SHARE = 0.011;
const TYPE_SHARE = 0.062;

/**
 * Curves on three canvases above each other: scale, the dark or light seam that keeps the lines readable over any picture, and the
 * lines. A sample that comes costs its own piece of line; all is drawn again only where the scale changes.
 */
export class TraceCanvas {
  readonly #host: HTMLElement;
  readonly #scale: CanvasRenderingContext2D;
  readonly #seam: CanvasRenderingContext2D;
  readonly #line: CanvasRenderingContext2D;
  #axis: TraceAxis = { fromS: -0.5, toS: 6, torqueUnit: 'Nm' };
  #colors: OverlayColors;
  #traces: Trace[] = [];
  #range: ValueRange | null = null;
  #extent = { min: 0, max: 0 };

  constructor(host: HTMLElement, colors: OverlayColors) {
    this.#host = host;
    this.#colors = colors;
    [this.#scale, this.#seam, this.#line] = [layer(host), layer(host), layer(host)];
    this.fit();
  }

  /** Empty curves in these colours. */
  begin(axis: TraceAxis, colours: readonly number[]): void {
    this.#axis = axis;
    this.#range = null;
    this.#extent = { min: 0, max: 0 };
    this.#traces = colours.map((colour) => ({ colour, curve: new GrowingCurve(), pen: null }));
    this.#redraw();
  }

  setColors(colors: OverlayColors): void {
    this.#colors = colors;
    this.#redraw();
  }

  setUnit(torqueUnit: TorqueUnit): void {
    if (torqueUnit === this.#axis.torqueUnit) return;
    this.#axis = { ...this.#axis, torqueUnit };
    this.#range = null;
    this.#redraw();
  }

  append(index: number, points: CurvePoints): void {
    const trace = this.#traces[index];
    if (trace === undefined) return;
    trace.curve.append(points);
    for (const value of points.minNm) if (value < this.#extent.min) this.#extent.min = value;
    for (const value of points.maxNm) if (value > this.#extent.max) this.#extent.max = value;
    if (this.#updateRange()) this.#redraw();
    else this.#draw(trace, points);
  }

  /** Takes the size of its place. */
  fit(): void {
    const ratio = Math.min(devicePixelRatio, 2);
    const width = Math.max(1, Math.round(this.#host.clientWidth * ratio));
    const height = Math.max(1, Math.round(this.#host.clientHeight * ratio));
    for (const { canvas } of [this.#scale, this.#seam, this.#line]) {
      canvas.width = width;
      canvas.height = height;
    }
    this.#redraw();
  }

  #inUnit(torqueNm: number): number {
    return fromOwnUnit(torqueNm, this.#axis.torqueUnit);
  }

  #updateRange(): boolean {
    const extent = { min: this.#inUnit(this.#extent.min), max: this.#inUnit(this.#extent.max) };
    const next = followRange(this.#range, extent, this.#inUnit(LEAST_TOP_NM));
    if (this.#range !== null && next.min === this.#range.min && next.max === this.#range.max) return false;
    this.#range = next;
    return true;
  }

  #redraw(): void {
    this.#updateRange();
    for (const context of [this.#scale, this.#seam, this.#line]) {
      context.clearRect(0, 0, context.canvas.width, context.canvas.height);
    }
    this.#drawScale();
    for (const trace of this.#traces) {
      trace.pen = null;
      this.#draw(trace, trace.curve.points());
    }
  }

  #plot(): { left: number; top: number; width: number; height: number; typePx: number } {
    const { width, height } = this.#line.canvas;
    const typePx = Math.max(10, height * TYPE_SHARE);
    const left = typePx * 3.6;
    const top = typePx * 0.9;
    return { left, top, width: width - left - typePx, height: height - top - typePx * 1.9, typePx };
  }

  #xOf(timeS: number): number {
    const { left, width } = this.#plot();
    const { fromS, toS } = this.#axis;
    return left + ((timeS - fromS) / (toS - fromS)) * width;
  }

  #yOf(torqueNm: number): number {
    const { top, height } = this.#plot();
    const range = this.#range ?? { min: 0, max: 1 };
    return top + ((range.max - this.#inUnit(torqueNm)) / (range.max - range.min)) * height;
  }

  /** Least and greatest of each bin, the nearer first, so that the line crosses a bin once. */
  #draw(trace: Trace, { timeS, minNm, maxNm }: CurvePoints): void {
    const path = new Path2D();
    let pen = trace.pen;
    if (pen !== null) path.moveTo(pen.x, pen.y);
    for (let index = 0; index < timeS.length; index += 1) {
      const atS = timeS[index] ?? Number.NaN;
      const least = minNm[index] ?? Number.NaN;
      const greatest = maxNm[index] ?? Number.NaN;
      if (Number.isNaN(least) || atS < this.#axis.fromS || atS > this.#axis.toS) {
        pen = null;
        continue;
      }
      const x = this.#xOf(atS);
      const low = this.#yOf(least);
      const high = this.#yOf(greatest);
      const isLowNearer: boolean = pen === null || Math.abs(pen.y - low) <= Math.abs(pen.y - high);
      const [first, second] = isLowNearer ? [low, high] : [high, low];
      if (pen === null) path.moveTo(x, first);
      else path.lineTo(x, first);
      path.lineTo(x, second);
      pen = { x, y: second };
    }
    trace.pen = pen;
    const widthPx = Math.max(2, this.#line.canvas.height * LINE_SHARE);
    stroke(this.#seam, path, this.#colors.seam, widthPx * 2.4);
    stroke(this.#line, path, this.#colors.curves[trace.colour] ?? this.#colors.ink, widthPx);
  }

  #drawScale(): void {
    const context = this.#scale;
    const plot = this.#plot();
    const { range, axis } = { range: this.#range, axis: this.#axis };
    if (range === null) return;
    const { typePx } = plot;
    const right = plot.left + plot.width;
    const yOfShown = (value: number): number =>
      plot.top + ((range.max - value) / (range.max - range.min)) * plot.height;
    context.font = `600 ${String(typePx)}px ${this.#colors.font}`;
    const label = (text: string, x: number, y: number, align: CanvasTextAlign): void => {
      context.textAlign = align;
      context.lineJoin = 'round';
      context.strokeStyle = this.#colors.seam;
      context.lineWidth = typePx * 0.28;
      context.strokeText(text, x, y);
      context.fillStyle = this.#colors.ink;
      context.fillText(text, x, y);
    };
    const rule = (value: number, isZero: boolean): void => {
      const path = new Path2D();
      path.moveTo(plot.left, yOfShown(value));
      path.lineTo(right, yOfShown(value));
      stroke(context, path, this.#colors.seam, isZero ? 5 : 3);
      stroke(context, path, isZero ? this.#colors.ink : this.#colors.grid, isZero ? 2 : 1);
    };
    const ticks = everySecond(ticksOf(range));
    for (const tick of ticks) rule(tick, tick === 0);
    for (const tick of ticks) {
      label(
        formatNumber(tick, decimalsOf(range.step)),
        plot.left - typePx * 0.4,
        yOfShown(tick) + typePx * 0.35,
        'right',
      );
    }
    const stepS = timeStep(axis.toS - axis.fromS);
    const belowPx = plot.top + plot.height + typePx * 1.3;
    for (let atS = Math.ceil(axis.fromS / stepS) * stepS; atS <= axis.toS - stepS / 2; atS += stepS) {
      label(formatNumber(atS, stepS < 1 ? 1 : 0), this.#xOf(atS), belowPx, 'center');
    }
    label('s', right, belowPx, 'right');
    label(unitLabel(axis.torqueUnit), plot.left + typePx * 0.5, plot.top + typePx * 1.1, 'left');
  }
}

function layer(host: HTMLElement): CanvasRenderingContext2D {
  const canvas = document.createElement('canvas');
  host.append(canvas);
  const context = canvas.getContext('2d');
  if (context === null) throw new Error('This browser gives no 2D canvas.');
  return context;
}

function stroke(context: CanvasRenderingContext2D, path: Path2D, color: string, widthPx: number): void {
  context.strokeStyle = color;
  context.lineWidth = widthPx;
  context.lineJoin = 'round';
  context.lineCap = 'round';
  context.stroke(path);
}

/** Few and large: they are read in passing. */
function everySecond(ticks: readonly number[]): number[] {
  const zero = ticks.indexOf(0);
  return ticks.length <= 4 ? [...ticks] : ticks.filter((_, index) => (index - zero) % 2 === 0);
}

function decimalsOf(step: number): number {
  return Math.max(0, Math.min(3, -Math.floor(Math.log10(step) + 1e-9)));
}

function timeStep(spanS: number): number {
  return [0.5, 1, 2, 5, 10, 20, 30, 60, 120, 300, 600].find((stepS) => spanS / stepS <= 7) ?? 1200;
}
