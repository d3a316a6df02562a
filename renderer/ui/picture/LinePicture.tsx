import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import { spreadOut } from '../../live-curve/axis-chart.ts';
import { ticksOf } from '../../live-curve/value-range.ts';
import './line-picture.css';
import { roundRange, tickDecimals } from './picture-scale.ts';

export interface PicturePoint {
  readonly x: number;
  /** NaN: the line breaks here. */
  readonly y: number;
}

/** How a line is told apart without colour: by its dash, and by the label at its end. */
export type LineLook = 'solid' | 'dashed' | 'dotted' | 'limit';

export interface PictureLine {
  readonly label: string;
  readonly points: readonly PicturePoint[];
  readonly look: LineLook;
  /** `--curve-N` of the tokens; null: ink. */
  readonly color: 1 | 2 | 3 | 4 | 5 | null;
  /** Also a dot at each point. */
  readonly hasDots?: boolean;
}

export interface PictureMark extends PicturePoint {
  readonly shape: 'dot' | 'ring' | 'diamond';
}

export interface PictureBand {
  readonly points: readonly { readonly x: number; readonly lower: number; readonly upper: number }[];
}

export interface LinePictureProps {
  /** What the picture shows, in words; the whole of it for who cannot see it. */
  readonly summary: string;
  readonly lines: readonly PictureLine[];
  readonly marks?: readonly PictureMark[];
  readonly bands?: readonly PictureBand[];
  readonly xTitle: string;
  readonly yTitle: string;
  /** Instead of round numbers, such as days. */
  readonly xTicks?: readonly { readonly value: number; readonly label: string }[];
  /** Of the drawing; on screen and paper it takes the width there is, up to this. */
  readonly size?: { readonly width: number; readonly height: number };
}

const FONT_PX = 13;
const LINE_PX = FONT_PX * 1.35;
/** Of Inter, on average; a label may be a little narrower than its column. */
const CHARACTER_PX = FONT_PX * 0.56;
const SAMPLE_PX = 22;
const wide = { width: 1120, height: 320 };

/** A picture of lines as SVG, which prints as sharp as text; nothing in it moves. */
export function LinePicture(props: LinePictureProps) {
  const { summary, lines, marks = [], bands = [], xTitle, yTitle, xTicks, size = wide } = props;
  const all = [...lines.flatMap(({ points }) => points), ...marks];
  const edges = bands.flatMap(({ points }) => points);
  const xs = [...all, ...edges].map(({ x }) => x).filter(Number.isFinite);
  const [fromX, toX] = extentOf(xs);
  const y = roundRange([
    ...all.map((point) => point.y),
    ...edges.flatMap(({ lower, upper }) => [lower, upper]),
  ]);
  const yDecimals = tickDecimals(y.step);
  const tickTexts = ticksOf(y).map((value) => ({ value, text: formatNumber(value, yDecimals) }));
  const labels = lines.filter(({ label }) => label !== '');
  const right =
    labels.length === 0
      ? FONT_PX
      : SAMPLE_PX + 14 + CHARACTER_PX * Math.max(...labels.map(({ label }) => label.length));
  const plot = {
    left: 14 + LINE_PX + CHARACTER_PX * Math.max(...tickTexts.map(({ text }) => text.length)),
    top: FONT_PX,
    right: size.width - right,
    bottom: size.height - 2 * LINE_PX - 6,
  };
  const toPxX = (value: number) =>
    plot.left + ((value - fromX) / (toX - fromX || 1)) * (plot.right - plot.left);
  const toPxY = (value: number) =>
    plot.bottom - ((value - y.min) / (y.max - y.min)) * (plot.bottom - plot.top);
  const scale: Scale = { toPxX, toPxY };
  const xStep = roundRange([fromX, toX]);
  const shownTicks =
    xTicks ??
    ticksOf(xStep)
      .filter((value) => value >= fromX - 1e-9 * xStep.step && value <= toX + 1e-9 * xStep.step)
      .map((value) => ({ value, label: formatNumber(value, tickDecimals(xStep.step)) }));
  const heights = spreadOut(
    labels.map(({ points }) => toPxY(points.findLast((point) => Number.isFinite(point.y))?.y ?? y.min)),
    LINE_PX,
    plot.top,
  );

  return (
    <svg
      className="picture"
      viewBox={`0 0 ${size.width} ${size.height}`}
      width={size.width}
      height={size.height}
      role="img"
      aria-label={summary}
    >
      {tickTexts.map(({ value, text }) => (
        <g key={value}>
          <path
            className={value === 0 ? 'picture-zero' : 'picture-grid'}
            d={`M${plot.left} ${round(toPxY(value))}H${plot.right}`}
          />
          <text className="picture-tick" x={plot.left - 8} y={toPxY(value)} textAnchor="end" dy="0.35em">
            {text}
          </text>
        </g>
      ))}
      {shownTicks.map(({ value, label }) => (
        <text
          key={value}
          className="picture-tick"
          x={toPxX(value)}
          y={plot.bottom + LINE_PX}
          textAnchor="middle"
        >
          {label}
        </text>
      ))}
      <path className="picture-axis" d={`M${plot.left} ${plot.top}V${plot.bottom}H${plot.right}`} />
      <text
        className="picture-title"
        x={(plot.left + plot.right) / 2}
        y={size.height - 4}
        textAnchor="middle"
      >
        {xTitle}
      </text>
      <text
        className="picture-title"
        transform={`translate(${FONT_PX} ${(plot.top + plot.bottom) / 2}) rotate(-90)`}
        textAnchor="middle"
      >
        {yTitle}
      </text>
      {bands.map((band, index) => (
        <path key={index} className="picture-band" d={bandPath(band, scale)} />
      ))}
      {lines.map((line, index) => (
        <g key={index} className={`picture-line picture-look-${line.look} ${colorClass(line)}`}>
          <path d={linePath(line.points, scale)} />
          {line.hasDots === true
            ? line.points
                .filter((point) => Number.isFinite(point.y))
                .map((point) => (
                  <circle
                    key={point.x}
                    className="picture-dot"
                    cx={toPxX(point.x)}
                    cy={toPxY(point.y)}
                    r="3"
                  />
                ))
            : null}
        </g>
      ))}
      {marks.map((mark, index) => (
        <Mark key={index} mark={mark} scale={scale} />
      ))}
      {labels.map((line, index) => {
        const height = round(heights[index] ?? 0);
        return (
          <g key={line.label} className={`picture-line picture-look-${line.look} ${colorClass(line)}`}>
            <path d={`M${plot.right + 6} ${height}h${SAMPLE_PX}`} />
            <text className="picture-label" x={plot.right + 12 + SAMPLE_PX} y={height} dy="0.35em">
              {line.label}
            </text>
          </g>
        );
      })}
    </svg>
  );
}

interface Scale {
  readonly toPxX: (value: number) => number;
  readonly toPxY: (value: number) => number;
}

/** The shape says what the colour would: a diamond is what lies outside. */
function Mark({ mark, scale }: { readonly mark: PictureMark; readonly scale: Scale }) {
  const [x, y] = [round(scale.toPxX(mark.x)), round(scale.toPxY(mark.y))];
  if (!Number.isFinite(x) || !Number.isFinite(y)) return null;
  if (mark.shape === 'diamond') {
    return <path className="picture-mark-outside" d={`M${x} ${y - 8}l8 8l-8 8l-8 -8z`} />;
  }
  return (
    <circle
      className={mark.shape === 'dot' ? 'picture-mark-dot' : 'picture-mark-ring'}
      cx={x}
      cy={y}
      r="4.5"
    />
  );
}

function colorClass({ color }: PictureLine): string {
  return color === null ? 'picture-ink' : `picture-color-${color}`;
}

function linePath(points: readonly PicturePoint[], { toPxX, toPxY }: Scale): string {
  let isDown = false;
  let path = '';
  for (const { x, y } of points) {
    if (!Number.isFinite(y)) {
      isDown = false;
      continue;
    }
    path += `${isDown ? 'L' : 'M'}${round(toPxX(x))} ${round(toPxY(y))}`;
    isDown = true;
  }
  return path;
}

function bandPath({ points }: PictureBand, { toPxX, toPxY }: Scale): string {
  const upper = points.map(({ x, upper: y }) => `${round(toPxX(x))} ${round(toPxY(y))}`);
  const lower = points.map(({ x, lower: y }) => `${round(toPxX(x))} ${round(toPxY(y))}`).toReversed();
  return points.length === 0 ? '' : `M${[...upper, ...lower].join('L')}Z`;
}

function extentOf(xs: readonly number[]): [number, number] {
  if (xs.length === 0) return [0, 1];
  const least = xs.reduce((min, value) => Math.min(min, value));
  const greatest = xs.reduce((max, value) => Math.max(max, value));
  return greatest > least ? [least, greatest] : [least - 0.5, greatest + 0.5];
}

function round(px: number): number {
  return Math.round(px * 10) / 10;
}
