import type { TorqueUnit } from '../../shared-lib/api-contract.ts';
import { fromOwnUnit, unitLabel } from '../../shared-lib/format-quantity.ts';
import { AxisChart, type AxisPicture } from './axis-chart.ts';
import { type CurveColors, readCurveColors, watchTheme } from './curve-style.ts';
import type { EarlierCurve } from './earlier-curve.ts';
import type { LiveFeed } from './live-feed.ts';
import {
  type ColumnMapping,
  mapWindow,
  type PlotArea,
  scrolledTo,
  timeExtentOf,
  type TimeWindow,
} from './trace-mapping.ts';
import { TracePainter, type TraceScale } from './trace-painter.ts';
import { TraceTiles } from './trace-tiles.ts';
import { type Extent, followRange, snugRange, type ValueRange } from './value-range.ts';

/** What the picture is to show; a new one is drawn at once and whole. */
export interface CurveView {
  readonly window: TimeWindow;
  /** End of the run in seconds from onset; labels stand there. */
  readonly labelAtS: number;
  readonly unit: TorqueUnit;
  readonly leastTopNm: number;
  readonly earlier: readonly EarlierCurve[];
  readonly own: EarlierCurve | null;
  readonly live: { readonly label: string; readonly colorIndex: number; readonly isFinished: boolean };
  readonly fontPx: number;
}

const LEAST_TOP_COUNTS = 1000;
const LINE_WIDTH_PX = 2;
/** Columns are counted anew before a browser would place them by rounded numbers. */
const MOST_COLUMNS = 100_000;
/** How often an idle picture may look whether a smaller range would do. */
const CALM_INTERVAL_MS = 2000;

/**
 * The live picture: Chart.js draws axes, grid and earlier curves once per change, the live trace has a layer of its own
 * on which only the newest segment is drawn, at most once per frame.
 */
export class CurveChart {
  readonly #feed: LiveFeed;
  readonly #host: HTMLElement;
  readonly #axisCanvas = document.createElement('canvas');
  readonly #tiles: TraceTiles;
  readonly #painter: TracePainter;
  readonly #resizeObserver: ResizeObserver;
  readonly #stops: (() => void)[];
  readonly #onPlotArea: (area: PlotArea) => void;
  #axes: AxisChart | null = null;
  #view: CurveView;
  #colors: CurveColors;
  #range: ValueRange | null = null;
  #mapping: ColumnMapping | null = null;
  #generation: number | null = null;
  #checkedBin = 0;
  #calmAt = 0;
  #frame: number | null = null;

  /** `onPlotArea` hears where the plot lies inside the host, in CSS pixels, whenever that changes. */
  constructor(host: HTMLElement, feed: LiveFeed, view: CurveView, onPlotArea: (area: PlotArea) => void) {
    this.#host = host;
    this.#feed = feed;
    this.#view = view;
    this.#onPlotArea = onPlotArea;
    this.#colors = readCurveColors(host);
    this.#axisCanvas.className = 'live-curve-axes';
    host.append(this.#axisCanvas);
    this.#tiles = new TraceTiles(host);
    this.#painter = new TracePainter(this.#tiles);
    this.#resizeObserver = new ResizeObserver(() => this.#fit());
    this.#resizeObserver.observe(host);
    this.#stops = [
      feed.onPiece(() => this.#requestFrame()),
      watchTheme(() => {
        this.#colors = readCurveColors(host);
        this.#drawAll();
      }),
    ];
    this.#fit();
  }

  show(view: CurveView): void {
    const isSameWindow = JSON.stringify(view.window) === JSON.stringify(this.#view.window);
    if (!isSameWindow || view.unit !== this.#view.unit || view.live.isFinished) this.#range = null;
    this.#view = view;
    this.#drawAll();
  }

  destroy(): void {
    if (this.#frame !== null) cancelAnimationFrame(this.#frame);
    this.#resizeObserver.disconnect();
    for (const stop of this.#stops) stop();
    this.#axes?.destroy();
    this.#axisCanvas.remove();
    this.#tiles.remove();
  }

  #requestFrame(): void {
    this.#frame ??= requestAnimationFrame((now) => {
      this.#frame = null;
      this.#drawNewest(now);
    });
  }

  #drawNewest(now: number): void {
    const { dataset } = this.#feed;
    if (dataset.generation !== this.#generation) {
      this.#drawAll();
      return;
    }
    if (this.#mapping === null || this.#range === null) return;
    if (this.#view.window.kind === 'rolling') this.#mapping = scrolledTo(this.#mapping, dataset.endSlot);
    if (this.#mapping.firstColumn > MOST_COLUMNS) {
      this.#drawAll();
      return;
    }
    const next = this.#nextRange(this.#range, now);
    if (next !== this.#range) {
      this.#range = next;
      this.#drawAll();
      return;
    }
    this.#painter.advance(dataset, this.#scale(this.#mapping, next));
  }

  /** The range with the newest bins inside it; once in a while also whether a smaller one would do. */
  #nextRange(current: ValueRange, now: number): ValueRange {
    const { dataset } = this.#feed;
    const isRolling = this.#view.window.kind === 'rolling';
    const isCalmCheckDue = isRolling && now - this.#calmAt > CALM_INTERVAL_MS;
    if (isCalmCheckDue) {
      this.#calmAt = now;
      return followRange(current, this.#wholeExtent(), this.#leastTop());
    }
    const [fromBin, toBin] = this.#binsInWindow();
    const newest = dataset.rangeOf(Math.max(this.#checkedBin, fromBin), toBin);
    this.#checkedBin = dataset.endBin;
    if (newest === null) return current;
    const shown = this.#shown(newest);
    if (shown.min >= current.min && shown.max <= current.max) return current;
    return followRange(current, join(this.#wholeExtent(), shown), this.#leastTop());
  }

  #drawAll(): void {
    const width = this.#host.clientWidth;
    const height = this.#host.clientHeight;
    if (width === 0 || height === 0) return;
    const { dataset } = this.#feed;
    if (dataset.generation !== this.#generation) this.#range = null;
    this.#generation = dataset.generation;
    this.#checkedBin = dataset.endBin;
    this.#range ??= snugRange(this.#wholeExtent(), this.#leastTop());
    const picture = this.#picture(this.#range);
    if (this.#axes === null) {
      this.#axes = new AxisChart(this.#axisCanvas, picture);
      this.#axes.resize(width, height);
    } else {
      this.#axes.show(picture);
    }
    this.#onPlotArea(this.#axes.plotArea);
    this.#tiles.fitTo(this.#areaInDevicePixels());
    const { window } = this.#view;
    if (window.kind === 'stored') {
      this.#mapping = null;
      this.#painter.clear();
      return;
    }
    const { sampleRateHz, endSlot } = dataset;
    this.#mapping = mapWindow(window, sampleRateHz, endSlot, this.#areaInDevicePixels().width);
    this.#painter.redraw(dataset, this.#scale(this.#mapping, this.#range));
  }

  #fit(): void {
    const width = this.#host.clientWidth;
    const height = this.#host.clientHeight;
    this.#axes?.resize(width, height);
    this.#drawAll();
  }

  #picture(range: ValueRange): AxisPicture {
    const { window, labelAtS, earlier, own, live, fontPx } = this.#view;
    const isTorque = this.#feed.dataset.quantity === 'torqueNm' || this.#feed.dataset.generation === null;
    const endValue = live.isFinished ? this.#valueAt(labelAtS) : null;
    return {
      ...timeExtentOf(window),
      range,
      shownPerNm: this.#shownPerNm(),
      timeTitle: window.kind === 'rolling' ? 'seconds before now' : 'seconds from onset',
      valueTitle: isTorque ? `torque, ${unitLabel(this.#view.unit)}` : 'counts',
      earlier: window.kind !== 'rolling' && isTorque ? earlier : [],
      own: isTorque ? own : null,
      labelAtS,
      liveLabel: endValue === null ? null : { text: live.label, colorIndex: live.colorIndex, y: endValue },
      colors: this.#colors,
      fontPx,
    };
  }

  #scale(mapping: ColumnMapping, range: ValueRange): TraceScale {
    const shownPerValue = this.#shownPerValue();
    return {
      mapping,
      heightPx: this.#areaInDevicePixels().height,
      endBin: this.#binsInWindow()[1],
      minValue: range.min / shownPerValue,
      maxValue: range.max / shownPerValue,
      color: this.#colors.curves[this.#view.live.colorIndex] ?? this.#colors.ink,
      lineWidth: LINE_WIDTH_PX * devicePixelRatio,
    };
  }

  /** Whole pixels, so that columns of the trace are columns of the screen. */
  #areaInDevicePixels(): PlotArea {
    const area = this.#axes?.plotArea ?? { left: 0, top: 0, width: 1, height: 1 };
    const left = Math.round(area.left * devicePixelRatio);
    const top = Math.round(area.top * devicePixelRatio);
    return {
      left,
      top,
      width: Math.max(1, Math.round((area.left + area.width) * devicePixelRatio) - left),
      height: Math.max(1, Math.round((area.top + area.height) * devicePixelRatio) - top),
    };
  }

  #shownPerNm(): number {
    return fromOwnUnit(1, this.#view.unit);
  }

  /** Counts have no other unit. */
  #shownPerValue(): number {
    return this.#feed.dataset.quantity === 'torqueNm' ? this.#shownPerNm() : 1;
  }

  #shown({ min, max }: Extent): Extent {
    return { min: min * this.#shownPerValue(), max: max * this.#shownPerValue() };
  }

  #leastTop(): number {
    const { generation, quantity } = this.#feed.dataset;
    return generation !== null && quantity === 'counts'
      ? LEAST_TOP_COUNTS
      : this.#view.leastTopNm * this.#shownPerNm();
  }

  #wholeExtent(): Extent {
    const trace = this.#feed.dataset.rangeOf(...this.#binsInWindow());
    const base = trace === null ? { min: 0, max: 0 } : this.#shown(trace);
    const curves = [
      ...(this.#view.window.kind === 'rolling' ? [] : this.#view.earlier),
      ...(this.#view.own === null ? [] : [this.#view.own]),
    ];
    return curves.reduce((extent, curve) => join(extent, extentOf(curve, this.#shownPerNm())), base);
  }

  #binsInWindow(): [number, number] {
    const { dataset } = this.#feed;
    const { window } = this.#view;
    const { sampleRateHz, samplesPerBin, endBin, endSlot } = dataset;
    switch (window.kind) {
      case 'stored':
        return [0, 0];
      case 'rolling':
        return [Math.floor((endSlot - window.spanS * sampleRateHz) / samplesPerBin), endBin];
      case 'run':
        return [
          Math.floor((window.onsetSlot + window.fromS * sampleRateHz) / samplesPerBin),
          Math.ceil(
            Math.min(window.onsetSlot + window.toS * sampleRateHz, window.untilSlot ?? Infinity) /
              samplesPerBin,
          ),
        ];
    }
  }

  /** The middle of the trace at a time from onset, or at its end before that; null where there is no sample. */
  #valueAt(atS: number): number | null {
    const { window } = this.#view;
    const { dataset } = this.#feed;
    if (window.kind !== 'run') return null;
    const slot = window.onsetSlot + atS * dataset.sampleRateHz;
    const lastSlot = (window.untilSlot ?? Infinity) - 1;
    const bin = Math.floor(Math.min(slot, lastSlot) / dataset.samplesPerBin);
    const middle = ((dataset.minAt(bin) + dataset.maxAt(bin)) / 2) * this.#shownPerValue();
    return Number.isNaN(middle) ? null : middle;
  }
}

function extentOf(curve: EarlierCurve, factor: number): Extent {
  return curve.points.reduce<Extent>(
    (extent, { y }) => (Number.isNaN(y) ? extent : join(extent, { min: y * factor, max: y * factor })),
    { min: 0, max: 0 },
  );
}

function join(one: Extent, other: Extent): Extent {
  return { min: Math.min(one.min, other.min), max: Math.max(one.max, other.max) };
}
