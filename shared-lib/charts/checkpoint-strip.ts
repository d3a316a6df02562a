import type { Shape } from '../picture/picture-model.ts';
import { lineShape, solid, textShape } from '../picture/shapes.ts';
import { measureTextPx } from '../picture/text-width.ts';
import type { Box } from './chart-frame.ts';
import type { CurveChart } from './chart-model.ts';
import { type ChartSizes, lineHeightPx, prose } from './chart-sizes.ts';
import type { Canvas } from './drawing.ts';
import { placeLabels } from './place-labels.ts';

interface StripEntry {
  readonly text: string;
  readonly isClear: boolean;
  /** Of the instant, and of the middle of its text. */
  readonly xPx: number;
  readonly textPx: number;
  /** From the top, 0 or 1. */
  readonly row: number;
}

export interface CheckpointStrip {
  readonly entries: readonly StripEntry[];
  readonly heightPx: number;
}

/** Words above the plot, one for each instant at which curves are compared; in two rows where one is too short. */
export function checkpointStrip(
  checkpoints: CurveChart['checkpoints'],
  toX: (timeS: number) => number,
  { leftPx, rightPx }: Pick<Box, 'leftPx' | 'rightPx'>,
  sizes: ChartSizes,
): CheckpointStrip {
  const type = prose(sizes.smallPx, 600);
  const wanted = checkpoints
    .map(({ atS, isClear, text }) => ({ isClear, text, xPx: toX(atS) }))
    .filter(({ xPx }) => xPx >= leftPx && xPx <= rightPx)
    .toSorted((one, other) => one.xPx - other.xPx);
  for (const rows of [1, 2, 3]) {
    const placed = Array.from({ length: rows }, (_, row) => {
      const ofRow = wanted.filter((_one, index) => index % rows === row);
      const places = placeLabels(
        ofRow.map(({ text, xPx }) => ({
          atPx: xPx,
          lengthPx: measureTextPx(text, type) + sizes.smallPx * 0.7,
        })),
        leftPx,
        rightPx,
      );
      return places?.map((textPx, index) => ({ ...(ofRow[index] ?? missing), textPx, row })) ?? null;
    });
    if (placed.every((row) => row !== null)) {
      return {
        entries: placed.flat(),
        heightPx: wanted.length === 0 ? 0 : rows * lineHeightPx(sizes.smallPx) + sizes.smallPx,
      };
    }
  }
  return { entries: wanted.map((one) => ({ ...one, text: '', textPx: one.xPx, row: 0 })), heightPx: 0 };
}

const missing = { text: '', isClear: false, xPx: 0 };

/** Without the instants that lie behind a place; the room stays. */
export function stripUntil({ entries, heightPx }: CheckpointStrip, xPx: number): CheckpointStrip {
  return { entries: entries.filter((entry) => entry.xPx <= xPx), heightPx };
}

/** A line down each instant, filled at its head where the difference is clear. */
export function checkpointShapes({ entries, heightPx }: CheckpointStrip, plot: Box, canvas: Canvas): Shape[] {
  const { sizes, colours } = canvas;
  const { smallPx, hairPx, dotPx } = sizes;
  const headPx = plot.topPx - smallPx * 0.45;
  return entries.flatMap(({ text, isClear, xPx, textPx, row }): Shape[] => {
    const baselinePx = plot.topPx - heightPx + (row + 1) * lineHeightPx(smallPx) - smallPx * 0.28;
    return [
      lineShape([xPx, headPx, xPx, plot.bottomPx], {
        ...solid(colours.axis, hairPx),
        dashPx: [hairPx, 3 * hairPx],
      }),
      ...(Math.abs(textPx - xPx) > 1
        ? [lineShape([xPx, headPx, textPx, baselinePx + smallPx * 0.25], solid(colours.axis, hairPx))]
        : []),
      {
        kind: 'circle',
        xPx,
        yPx: headPx,
        radiusPx: dotPx * 0.9,
        fill: isClear ? colours.ink : colours.ground,
        stroke: solid(colours.ink, hairPx),
      },
      textShape(
        text,
        textPx,
        baselinePx,
        prose(smallPx, isClear ? 600 : 400),
        isClear ? colours.ink : colours.inkSoft,
        {
          anchor: 'middle',
        },
      ),
    ];
  });
}
