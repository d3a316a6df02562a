import { Chart, type ChartConfiguration, type Plugin } from 'chart.js';
import { formatNumber } from '../../shared-lib/format-quantity.ts';
import { type CurveColors, dashPatternAt } from './curve-style.ts';
import type { CurvePoint, EarlierCurve } from './earlier-curve.ts';
import './register-chart-parts.ts';
import type { PlotArea } from './trace-mapping.ts';
import { ticksOf, type ValueRange } from './value-range.ts';

/** Everything that stands still between two changes: axes, grid, earlier curves and their labels. */
export interface AxisPicture {
  readonly fromS: number;
  readonly toS: number;
  /** In the shown unit. */
  readonly range: ValueRange;
  readonly shownPerNm: number;
  readonly timeTitle: string;
  readonly valueTitle: string;
  readonly earlier: readonly EarlierCurve[];
  /** The stored curve of the trial itself, drawn solid where the live trace is gone; else null. */
  readonly own: EarlierCurve | null;
  /** A label stands at the height that its curve has at the end of the run. */
  readonly labelAtS: number;
  /** The label of the live trace, once it is finished: where it ends, in the shown unit. */
  readonly liveLabel: { readonly text: string; readonly colorIndex: number; readonly y: number } | null;
  readonly colors: CurveColors;
  readonly fontPx: number;
}

interface CurveLabel {
  readonly text: string;
  readonly color: string;
  readonly dash: readonly number[];
  readonly y: number;
}

const EARLIER_LINE_WIDTH = 2;
const OWN_LINE_WIDTH = 2;
/** Length of the piece of line before a label, and the gaps around it, in type sizes. */
const SAMPLE_LENGTH = 2;
const SAMPLE_GAP = 0.5;

/** Chart.js for what changes seldom; it draws once per change and never sees a live sample. */
export class AxisChart {
  readonly #chart: Chart<'line', CurvePoint[]>;
  #labels: readonly CurveLabel[] = [];
  #picture: AxisPicture;
  readonly #measuring: CanvasRenderingContext2D;

  constructor(canvas: HTMLCanvasElement, picture: AxisPicture) {
    this.#picture = picture;
    const measuring = document.createElement('canvas').getContext('2d');
    if (measuring === null) throw new Error('This browser gives no 2D canvas.');
    this.#measuring = measuring;
    this.#chart = new Chart(canvas, {
      ...this.#configure(picture),
      plugins: [this.#labelPlugin()],
    });
  }

  show(picture: AxisPicture): void {
    this.#picture = picture;
    const { data, options } = this.#configure(picture);
    this.#chart.data = data;
    if (options !== undefined) this.#chart.options = options;
    this.#chart.update('none');
  }

  resize(widthPx: number, heightPx: number): void {
    this.#chart.resize(widthPx, heightPx);
  }

  /** In CSS pixels. */
  get plotArea(): PlotArea {
    const { left, top, width, height } = this.#chart.chartArea;
    return { left, top, width, height };
  }

  destroy(): void {
    this.#chart.destroy();
  }

  #configure(picture: AxisPicture): ChartConfiguration<'line', CurvePoint[]> {
    const { colors, range, fontPx } = picture;
    const curves = picture.own === null ? picture.earlier : [...picture.earlier, picture.own];
    this.#labels = labelsOf(picture, curves);
    const font = { family: colors.font, size: fontPx };
    return {
      type: 'line',
      data: {
        datasets: curves.map((curve) => ({
          label: curve.label,
          order: curve === picture.own ? 0 : 1,
          data: curve.points.map(({ x, y }) => ({ x, y: y * picture.shownPerNm })),
          borderColor: colors.curves[curve.colorIndex] ?? colors.ink,
          borderWidth: curve === picture.own ? OWN_LINE_WIDTH : EARLIER_LINE_WIDTH,
          borderDash: dashOf(curve, picture),
          pointRadius: 0,
          tension: 0,
          spanGaps: false,
        })),
      },
      options: {
        responsive: false,
        maintainAspectRatio: false,
        animation: false,
        parsing: false,
        normalized: true,
        events: [],
        // Labels have a column of their own, where no curve can cover them.
        layout: { padding: { top: fontPx * 0.6, right: this.#labelColumnWidth() } },
        scales: {
          x: {
            type: 'linear',
            min: picture.fromS,
            max: picture.toS,
            grid: { color: colors.line, tickLength: 0 },
            afterBuildTicks: (axis) => {
              const [min, max] = [picture.fromS, picture.toS];
              axis.ticks = ticksOf({ min, max, step: timeStepFor(max - min) }).map((value) => ({ value }));
            },
            border: { color: colors.lineStrong },
            title: { display: true, text: picture.timeTitle, color: colors.inkSoft, font, padding: 2 },
            ticks: {
              color: colors.ink,
              font,
              maxRotation: 0,
              includeBounds: false,
              padding: fontPx * 0.3,
              callback: (value) => tickText(Number(value)),
            },
          },
          y: {
            type: 'linear',
            min: range.min,
            max: range.max,
            grid: {
              color: (context) => (context.tick.value === 0 ? colors.lineStrong : colors.line),
              tickLength: 0,
            },
            border: { color: colors.lineStrong },
            title: { display: true, text: picture.valueTitle, color: colors.inkSoft, font, padding: 2 },
            afterBuildTicks: (axis) => {
              axis.ticks = ticksOf(range).map((value) => ({ value }));
            },
            // A width that does not change with the digits keeps the picture from jumping when the range does.
            afterFit: (axis) => {
              axis.width = Math.max(axis.width, fontPx * 5);
            },
            ticks: {
              color: colors.ink,
              font,
              includeBounds: false,
              padding: fontPx * 0.4,
              callback: (value) => tickText(Number(value)),
            },
          },
        },
      },
    };
  }

  #labelColumnWidth(): number {
    const { fontPx } = this.#picture;
    if (this.#labels.length === 0) return fontPx;
    this.#measuring.font = this.#labelFont();
    const widest = Math.max(...this.#labels.map(({ text }) => this.#measuring.measureText(text).width));
    return Math.ceil(widest + (SAMPLE_LENGTH + 3 * SAMPLE_GAP) * fontPx);
  }

  #labelFont(): string {
    const { fontPx, colors } = this.#picture;
    return `560 ${fontPx}px ${colors.font}`;
  }

  #labelPlugin(): Plugin<'line'> {
    return {
      id: 'curveEndLabels',
      afterDatasetsDraw: (chart) => {
        const { fontPx, colors } = this.#picture;
        const { y } = chart.scales;
        if (y === undefined || this.#labels.length === 0) return;
        const context = chart.ctx;
        context.save();
        context.font = this.#labelFont();
        context.textBaseline = 'middle';
        context.lineWidth = OWN_LINE_WIDTH;
        const left = chart.chartArea.right + SAMPLE_GAP * fontPx;
        const heights = spreadOut(
          this.#labels.map((label) => y.getPixelForValue(label.y)),
          fontPx * 1.3,
          fontPx * 0.6,
        );
        this.#labels.forEach((label, index) => {
          const height = heights[index] ?? 0;
          context.strokeStyle = label.color;
          context.setLineDash([...label.dash]);
          context.beginPath();
          context.moveTo(left, height);
          context.lineTo(left + SAMPLE_LENGTH * fontPx, height);
          context.stroke();
          context.fillStyle = colors.ink;
          context.fillText(label.text, left + (SAMPLE_LENGTH + SAMPLE_GAP) * fontPx, height);
        });
        context.restore();
      },
    };
  }
}

function labelsOf(picture: AxisPicture, curves: readonly EarlierCurve[]): CurveLabel[] {
  const { colors, liveLabel, labelAtS, shownPerNm } = picture;
  const stored = curves.map((curve) => {
    const last = curve.points.findLast(({ x, y }) => x <= labelAtS && !Number.isNaN(y));
    return {
      text: curve.label,
      color: colors.curves[curve.colorIndex] ?? colors.ink,
      dash: dashOf(curve, picture),
      y: (last?.y ?? 0) * shownPerNm,
    };
  });
  if (liveLabel === null) return stored;
  const color = colors.curves[liveLabel.colorIndex] ?? colors.ink;
  return [...stored, { text: liveLabel.text, color, dash: [], y: liveLabel.y }];
}

/** The trial's own curve is solid, each earlier one has the dash of its place. */
function dashOf(curve: EarlierCurve, { earlier }: AxisPicture): number[] {
  return dashPatternAt(earlier.indexOf(curve) + 1);
}

/** Whole seconds, few enough to be read from afar. */
function timeStepFor(spanS: number): number {
  return [1, 2, 5, 10].find((stepS) => spanS / stepS <= 10) ?? 20;
}

/**
 * Moves heights apart so that no two are closer than `least`, in their order: upwards from the lowest, and down again
 * where the highest would leave the picture at `ceiling`. Heights grow downwards, as on a screen.
 */
export function spreadOut(heights: readonly number[], least: number, ceiling: number): number[] {
  const order = heights.map((height, index) => ({ height, index })).sort((a, b) => b.height - a.height);
  const result = [...heights];
  let floor = Number.POSITIVE_INFINITY;
  for (const { height, index } of order) {
    result[index] = Math.min(height, floor);
    floor = (result[index] ?? height) - least;
  }
  let top = ceiling;
  for (const { index } of order.toReversed()) {
    result[index] = Math.max(result[index] ?? top, top);
    top = (result[index] ?? top) + least;
  }
  return result;
}

/** As many decimals as the tick needs; ticks are round numbers. */
function tickText(value: number): string {
  const decimals = String(Number(value.toFixed(6))).split('.')[1]?.length ?? 0;
  return formatNumber(value, decimals);
}
