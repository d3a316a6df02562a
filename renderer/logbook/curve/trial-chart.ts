import { Chart, type ChartConfiguration } from 'chart.js';
import zoomPlugin from 'chartjs-plugin-zoom';
import type { TrialCurve } from '../../../shared-lib/api-contract.ts';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import type { CurveColors } from '../../live-curve/curve-style.ts';
import { dashPatternAt } from '../../live-curve/curve-style.ts';
import type { CurvePoint } from '../../live-curve/earlier-curve.ts';
import '../../live-curve/register-chart-parts.ts';
import { snugRange, ticksOf } from '../../live-curve/value-range.ts';
import type { CurveMapping } from './curve-overlay.ts';
import type { CurveWindow } from './curve-window.ts';

export interface CurveChoice {
  readonly raw: boolean;
  readonly display: boolean;
  readonly measuring: boolean;
}

export interface TrialPicture {
  readonly curve: TrialCurve;
  readonly choice: CurveChoice;
  readonly window: CurveWindow;
  /** Onset, planned end and whatever else stands on the time line. */
  readonly marks: readonly TimeMark[];
  /** A drag across the picture looks closer; else it is for others to take. */
  readonly isDragCloser: boolean;
  readonly shownPerNm: number;
  readonly unitLabel: string;
  readonly colorIndex: number;
  readonly colors: CurveColors;
  readonly fontPx: number;
}

export interface TimeMark {
  readonly timeS: number;
  readonly label: string;
  /** Faults stand at the top, the course of the run at the foot, so that they do not cover each other. */
  readonly isFault: boolean;
}

type TrialChartType = Chart<'line', CurvePoint[]>;
type Dataset = ChartConfiguration<'line', CurvePoint[]>['data']['datasets'][number];

export interface TrialChartListeners {
  /** A drag has chosen what is to be looked at more closely. */
  readonly onWindow: (window: CurveWindow) => void;
  readonly onDrawn: (mapping: CurveMapping) => void;
}

/** A stored trial in Chart.js; a drag across it chooses the stretch to look at more closely. */
export class TrialChart {
  readonly #chart: TrialChartType;
  readonly #listeners: TrialChartListeners;
  #shownPerNm = 1;

  constructor(canvas: HTMLCanvasElement, picture: TrialPicture, listeners: TrialChartListeners) {
    this.#listeners = listeners;
    this.#chart = new Chart(canvas, {
      ...this.#configure(picture),
      plugins: [zoomPlugin, { id: 'mapping', afterDraw: (chart) => this.#tellMapping(chart) }],
    });
  }

  /** The time at a place in the picture, in CSS pixels from the left edge of its canvas. */
  timeAt(x: number): number {
    return this.#chart.scales['x']?.getValueForPixel(x) ?? NaN;
  }

  get canvas(): HTMLCanvasElement {
    return this.#chart.canvas;
  }

  show(picture: TrialPicture): void {
    const { data, options } = this.#configure(picture);
    this.#chart.data = data;
    if (options !== undefined) this.#chart.options = options;
    this.#chart.update('none');
  }

  destroy(): void {
    this.#chart.destroy();
  }

  #tellMapping(chart: Chart): void {
    const { x, y } = chart.scales;
    if (x === undefined || y === undefined) return;
    const { left, right, top, bottom } = chart.chartArea;
    const shownPerNm = this.#shownPerNm;
    this.#listeners.onDrawn({
      left,
      right,
      top,
      bottom,
      xOf: (timeS) => x.getPixelForValue(timeS),
      yOf: (torqueNm) => y.getPixelForValue(torqueNm * shownPerNm),
    });
  }

  #configure(picture: TrialPicture): ChartConfiguration<'line', CurvePoint[]> {
    const { colors, curve, fontPx, shownPerNm } = picture;
    this.#shownPerNm = shownPerNm;
    const font = { family: colors.font, size: fontPx };
    const range = snugRange(extentOf(curve, shownPerNm), 1e-3);
    const tick = { color: colors.ink, font, maxRotation: 0, includeBounds: false };
    return {
      type: 'line',
      data: { datasets: datasetsOf(picture) },
      options: {
        responsive: true,
        maintainAspectRatio: false,
        animation: false,
        parsing: false,
        normalized: true,
        scales: {
          x: {
            type: 'linear',
            min: picture.window.fromS,
            max: picture.window.toS,
            grid: { color: colors.line, tickLength: 0 },
            border: { color: colors.lineStrong },
            title: { display: true, text: 'Time from onset, s', color: colors.inkSoft, font },
            ticks: { ...tick, callback: (value) => tickText(Number(value)) },
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
            title: {
              display: true,
              text: `Torque, ${picture.unitLabel} (forward positive)`,
              color: colors.inkSoft,
              font,
            },
            afterBuildTicks: (axis) => {
              axis.ticks = ticksOf(range).map((value) => ({ value }));
            },
            ticks: { ...tick, callback: (value) => tickText(Number(value)) },
          },
        },
        plugins: {
          annotation: { animations: {}, annotations: annotationsOf(picture) },
          zoom: {
            zoom: {
              mode: 'x',
              drag: {
                enabled: picture.isDragCloser,
                drawTime: 'beforeDatasetsDraw',
                backgroundColor: colors.line,
                borderColor: colors.ink,
                borderWidth: 1,
              },
              onZoomComplete: ({ chart }) => {
                const { min, max } = chart.scales['x'] ?? { min: NaN, max: NaN };
                this.#listeners.onWindow({ fromS: min, toS: max });
              },
            },
          },
        },
      },
    };
  }
}

function datasetsOf({ curve, choice, colors, colorIndex, shownPerNm }: TrialPicture): Dataset[] {
  const common = { pointRadius: 0, tension: 0, spanGaps: false } as const;
  const datasets: Dataset[] = [];
  if (choice.measuring) {
    datasets.push({
      ...common,
      label: 'Measuring curve',
      data: pointsOf(curve.measuringTimeS, curve.measuringNm, shownPerNm),
      borderColor: colors.curves[colorIndex] ?? colors.ink,
      borderWidth: 2.5,
    });
  }
  if (choice.display) {
    datasets.push({
      ...common,
      label: 'Display curve',
      data: pointsOf(curve.displayTimeS, curve.displayNm, shownPerNm),
      borderColor: colors.ink,
      borderWidth: 1.5,
      borderDash: dashPatternAt(2),
    });
  }
  if (choice.raw) {
    // The middle between the first and the last sample of a bin, so that a bin of one sample stands where the sample does.
    const firstMiddleS = curve.binStartS + (curve.binWidthS - 1 / curve.sampleRateHz) / 2;
    const timeS = curve.minNm.map((_, bin) => firstMiddleS + bin * curve.binWidthS);
    const band = { ...common, borderColor: colors.lineStrong, borderWidth: 1, backgroundColor: colors.line };
    datasets.push(
      { ...band, label: 'Raw, least', data: pointsOf(timeS, curve.minNm, shownPerNm), fill: '+1' },
      { ...band, label: 'Raw, greatest', data: pointsOf(timeS, curve.maxNm, shownPerNm) },
    );
  }
  return datasets;
}

function annotationsOf({ marks, colors, fontPx }: TrialPicture) {
  const line = (timeS: number, content: string, position: 'start' | 'end') => ({
    type: 'line' as const,
    scaleID: 'x',
    value: timeS,
    borderColor: colors.ink,
    borderWidth: 1,
    borderDash: dashPatternAt(2),
    label: {
      display: true,
      content,
      position,
      color: colors.ink,
      backgroundColor: colors.surface,
      font: { family: colors.font, size: fontPx },
      padding: 3,
    },
  });
  return marks.map(({ timeS, label, isFault }) => line(timeS, label, isFault ? 'start' : 'end'));
}

function pointsOf(timeS: Float64Array, valuesNm: Float64Array, shownPerNm: number): CurvePoint[] {
  return Array.from(valuesNm, (value, index) => ({ x: timeS[index] ?? NaN, y: value * shownPerNm }));
}

/** Of the raw curve, so that the axis stays when curves are switched on and off. */
function extentOf({ minNm, maxNm }: TrialCurve, shownPerNm: number): { min: number; max: number } {
  let min = 0;
  let max = 0;
  for (const value of minNm) if (value < min) min = value;
  for (const value of maxNm) if (value > max) max = value;
  return { min: min * shownPerNm, max: max * shownPerNm };
}

function tickText(value: number): string {
  const decimals = String(Number(value.toFixed(6))).split('.')[1]?.length ?? 0;
  return formatNumber(value, decimals);
}
