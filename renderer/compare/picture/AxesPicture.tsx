import type { ReactNode } from 'react';
import '../../ui/picture/line-picture.css';
import { FONT_PX, LINE_PX, type PictureFrame, px } from './picture-frame.ts';

interface AxesPictureProps {
  readonly frame: PictureFrame;
  /** What the picture shows, in words; the whole of it for who cannot see it. */
  readonly summary: string;
  readonly xTitle: string;
  readonly yTitle: string;
  /** Between the grid and the axes' lines: what is drawn in the plot. */
  readonly children: ReactNode;
}

/** Axes, grid and titles as SVG, which prints as sharp as text; whoever uses it draws into its frame. */
export function AxesPicture({ frame, summary, xTitle, yTitle, children }: AxesPictureProps) {
  const { left, right, top, bottom, size, xTicks, yTicks, toX, toY } = frame;
  return (
    <svg
      className="picture"
      viewBox={`0 0 ${size.width} ${size.height}`}
      width={size.width}
      height={size.height}
      role="img"
      aria-label={summary}
    >
      {yTicks.map(({ value, label }) => (
        <g key={value}>
          <path
            className={value === 0 ? 'picture-zero' : 'picture-grid'}
            d={`M${left} ${px(toY(value))}H${right}`}
          />
          <text className="picture-tick" x={left - 8} y={px(toY(value))} textAnchor="end" dy="0.35em">
            {label}
          </text>
        </g>
      ))}
      {xTicks.map(({ value, label }) => (
        <text
          key={value}
          className="picture-tick"
          x={px(toX(value))}
          y={bottom + LINE_PX}
          textAnchor="middle"
        >
          {label}
        </text>
      ))}
      <path className="picture-axis" d={`M${left} ${top}V${bottom}H${right}`} />
      <text className="picture-title" x={(left + right) / 2} y={size.height - 4} textAnchor="middle">
        {xTitle}
      </text>
      <text
        className="picture-title"
        transform={`translate(${FONT_PX} ${(top + bottom) / 2}) rotate(-90)`}
        textAnchor="middle"
      >
        {yTitle}
      </text>
      {children}
    </svg>
  );
}

interface EndLabelProps {
  readonly frame: PictureFrame;
  readonly y: number;
  readonly text: string;
  readonly className: string;
}

/** A piece of the line and its name, beside the plot. */
export function EndLabel({ frame, y, text, className }: EndLabelProps) {
  return (
    <g className={className}>
      <path d={`M${frame.right + 6} ${px(y)}h22`} />
      <text className="picture-label" x={frame.right + 34} y={px(y)} dy="0.35em">
        {text}
      </text>
    </g>
  );
}
