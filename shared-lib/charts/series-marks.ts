import type { Shape } from '../picture/picture-model.ts';
import { lineShape, solid } from '../picture/shapes.ts';
import type { Canvas } from './drawing.ts';

/** A mark of its own for each series: disc, ring, square, frame, and crosses; in ink, since a series is no tool. */
export function markShapes(place: number, xPx: number, yPx: number, { sizes, colours }: Canvas): Shape[] {
  const { dotPx, thinPx } = sizes;
  const stroke = solid(colours.ink, thinPx);
  const isFilled = place % 2 === 0;
  const form = Math.floor(place / 2) % 3;
  if (form === 0) {
    return [
      {
        kind: 'circle',
        xPx,
        yPx,
        radiusPx: dotPx,
        fill: isFilled ? colours.ink : null,
        stroke: isFilled ? null : stroke,
      },
    ];
  }
  if (form === 1) {
    return [
      {
        kind: 'rectangle',
        xPx: xPx - dotPx,
        yPx: yPx - dotPx,
        widthPx: 2 * dotPx,
        heightPx: 2 * dotPx,
        radiusPx: 0,
        fill: isFilled ? colours.ink : null,
        stroke: isFilled ? null : stroke,
        opacity: 1,
      },
    ];
  }
  const r = dotPx;
  return isFilled
    ? [
        lineShape([xPx - r, yPx - r, xPx + r, yPx + r], stroke),
        lineShape([xPx - r, yPx + r, xPx + r, yPx - r], stroke),
      ]
    : [lineShape([xPx - r, yPx, xPx + r, yPx], stroke), lineShape([xPx, yPx - r, xPx, yPx + r], stroke)];
}
