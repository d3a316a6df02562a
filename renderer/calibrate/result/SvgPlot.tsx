import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import { snugRange, ticksOf, type ValueRange } from '../../live-curve/value-range.ts';
import './svg-plot.css';

export interface PlotPoint {
  readonly x: number;
  readonly y: number;
}

export interface PlotSeries {
  readonly key: string;
  /** `disc` and `ring` draw each point, `line` joins them, `dashed` too. */
  readonly mark: 'disc' | 'ring' | 'line' | 'dashed';
  /** Its place among the curve colours, from 1; null: ink. */
  readonly color: number | null;
  readonly points: readonly PlotPoint[];
  /** Stands at the end of a line. */
  readonly label?: string;
}

export interface SvgPlotProps {
  /** The whole picture in a sentence or two; it also stands beside it as text. */
  readonly summary: string;
  readonly xTitle: string;
  readonly yTitle: string;
  readonly series: readonly PlotSeries[];
  /** The least extent of the vertical axis, so that noise does not fill it. */
  readonly leastTop: number;
}

const SIZE = { width: 640, height: 280 };
const PLOT = { left: 62, right: 604, top: 34, bottom: 236 };
/** Room for the labels at the ends of lines. */
const LABEL_WIDTH = 90;

/**
 * A small picture of points and lines that prints as sharp as it shows. Both axes hold zero; all drawing is by tokens, so
 * that it follows the theme.
 */
export function SvgPlot({ summary, xTitle, yTitle, series, leastTop }: SvgPlotProps) {
  const all = series.flatMap(({ points }) => points);
  const hasLabels = series.some(({ label }) => label !== undefined);
  const right = hasLabels ? PLOT.right - LABEL_WIDTH : PLOT.right;
  const xRange = snugRange(extent(all.map(({ x }) => x)), Number.MIN_VALUE);
  const yRange = snugRange(extent(all.map(({ y }) => y)), leastTop);
  const toX = scale(xRange, PLOT.left, right);
  const toY = scale(yRange, PLOT.bottom, PLOT.top);
  const decimals = decimalsOfStep(yRange.step);
  return (
    <figure className="svg-plot">
      <svg viewBox={`0 0 ${SIZE.width} ${SIZE.height}`} role="img" aria-label={summary}>
        <g className="svg-plot-grid">
          {ticksOf(yRange).map((tick) => (
            <path
              key={tick}
              className={tick === 0 ? 'svg-plot-axis' : undefined}
              d={`M${PLOT.left} ${toY(tick)}H${right}`}
            />
          ))}
          {ticksOf(xRange).map((tick) => (
            <path key={tick} d={`M${toX(tick)} ${PLOT.top}V${PLOT.bottom}`} />
          ))}
        </g>
        <g className="svg-plot-text">
          {ticksOf(yRange).map((tick) => (
            <text key={tick} x={PLOT.left - 8} y={toY(tick) + 5} textAnchor="end">
              {formatNumber(tick, decimals)}
            </text>
          ))}
          {ticksOf(xRange).map((tick) => (
            <text key={tick} x={toX(tick)} y={PLOT.bottom + 20} textAnchor="middle">
              {formatNumber(tick, decimalsOfStep(xRange.step))}
            </text>
          ))}
          <text className="svg-plot-title" x={PLOT.left} y={16}>
            {yTitle}
          </text>
          <text className="svg-plot-title" x={right} y={PLOT.bottom + 40} textAnchor="end">
            {xTitle}
          </text>
        </g>
        {series.map((one) => (
          <Series
            key={one.key}
            series={one}
            points={one.points.map(({ x, y }) => ({ x: toX(x), y: toY(y) }))}
          />
        ))}
        {endLabels(series, toX, toY).map(({ key, text, x, y, color }) => (
          <text key={key} className={`svg-plot-label svg-plot-color-${color ?? 'ink'}`} x={x + 8} y={y}>
            {text}
          </text>
        ))}
      </svg>
      <figcaption>{summary}</figcaption>
    </figure>
  );
}

function Series({
  series: { mark, color },
  points,
}: {
  readonly series: PlotSeries;
  readonly points: readonly PlotPoint[];
}) {
  const name = `svg-plot-series svg-plot-${mark} svg-plot-color-${color ?? 'ink'}`;
  if (mark === 'disc' || mark === 'ring') {
    return (
      <g className={name}>
        {points.map(({ x, y }, place) => (
          <circle key={place} cx={x} cy={y} r={mark === 'disc' ? 4.5 : 5} />
        ))}
      </g>
    );
  }
  return <polyline className={name} points={points.map(({ x, y }) => `${x},${y}`).join(' ')} />;
}

/** At least a line of text apart, lowest value first, so that two curves that end together stay readable. */
const LABEL_STEP = 17;

function endLabels(
  series: readonly PlotSeries[],
  toX: (value: number) => number,
  toY: (value: number) => number,
) {
  const labels = series.flatMap(({ key, label, color, points }) => {
    const last = points.at(-1);
    return label === undefined || last === undefined
      ? []
      : [{ key, text: label, color, x: toX(last.x), y: toY(last.y) + 5 }];
  });
  labels.sort((a, b) => b.y - a.y);
  labels.forEach((label, place) => {
    const below = labels[place - 1];
    if (below !== undefined && below.y - label.y < LABEL_STEP) label.y = below.y - LABEL_STEP;
  });
  return labels;
}

function extent(values: readonly number[]): { readonly min: number; readonly max: number } {
  return values.length === 0 ? { min: 0, max: 1 } : { min: Math.min(...values), max: Math.max(...values) };
}

function scale({ min, max }: ValueRange, from: number, to: number): (value: number) => number {
  return (value) => from + ((value - min) / (max - min)) * (to - from);
}

function decimalsOfStep(step: number): number {
  return String(Number(step.toPrecision(4))).split('.')[1]?.length ?? 0;
}
