import type { Shape } from '../picture/picture-model.ts';
import { textShape } from '../picture/shapes.ts';
import { wrapText } from '../picture/text-lines.ts';
import type { ChartColours } from './chart-colours.ts';
import type { Box } from './chart-frame.ts';
import type { ChartLook } from './chart-model.ts';
import { formatDuration, formatTorque } from '../format-quantity.ts';
import { type ChartSizes, lineHeightPx, style } from './chart-sizes.ts';

/** Where and how a chart's own part is drawn. */
export interface Canvas {
  readonly sizes: ChartSizes;
  readonly colours: ChartColours;
  readonly body: Box;
  readonly look: ChartLook;
}

/** A sentence where there is nothing to draw. */
export function emptyShapes(sentence: string, { sizes, colours, body }: Canvas): Shape[] {
  const type = style(sizes.labelPx);
  const linePx = lineHeightPx(sizes.labelPx);
  const middlePx = (body.topPx + body.bottomPx) / 2;
  const lines = wrapText(sentence, type, (body.rightPx - body.leftPx) * 0.8);
  return lines.map((line, index) =>
    textShape(
      line,
      (body.leftPx + body.rightPx) / 2,
      middlePx + (index - (lines.length - 1) / 2) * linePx,
      type,
      colours.inkSoft,
      { anchor: 'middle' },
    ),
  );
}

/** A level with its value, as nobody reads it off the axis: "claim, Hollin H5: 700 N·m". */
export function levelWords(
  label: string,
  value: number,
  quantity: 'torque' | 'time',
  torqueUnit: ChartLook['torqueUnit'],
): string {
  const words =
    quantity === 'torque'
      ? formatTorque(value, torqueUnit, Math.abs(value) < 100 ? 1 : 0)
      : formatDuration(value, Math.abs(value) < 10 ? 2 : 1);
  return `${label}: ${words}`;
}
