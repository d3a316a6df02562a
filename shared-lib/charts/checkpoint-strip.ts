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
  /** Half the width of the text. */
  readonly halfPx: number;
  /** From the top, from 0. */
  readonly row: number;
}

export interface CheckpointStrip {
  readonly entries: readonly StripEntry[];
  readonly heightPx: number;
}

const MOST_ROWS = 3;

/**
 * Words above the plot, one for each instant at which curves are compared, anywhere between the sides of `room`; in as few rows as leave
 * each above its own instant.
 */
export function checkpointStrip(
  checkpoints: CurveChart['checkpoints'],
  toX: (timeS: number) => number,
  plot: Pick<Box, 'leftPx' | 'rightPx'>,
  room: Pick<Box, 'leftPx' | 'rightPx'>,
  sizes: ChartSizes,
): CheckpointStrip {
  const type = prose(sizes.smallPx, 600);
  const wanted = checkpoints
    .map(({ atS, isClear, text }) => ({
      isClear,
      text,
      xPx: toX(atS),
      halfPx: measureTextPx(text, type) / 2,
    }))
    // The last instant is the plot's edge, but for rounding.
    .filter(({ xPx }) => xPx >= plot.leftPx - 0.5 && xPx <= plot.rightPx + 0.5)
    .toSorted((one, other) => one.xPx - other.xPx);
  const tried = Array.from({ length: MOST_ROWS }, (_, index) => inRows(wanted, index + 1, room, sizes));
  const fitting = tried.filter((entries) => entries !== null);
  const entries = fitting.find((all) => all.every(isAboveItsInstant)) ?? fitting[0];
  if (entries === undefined) {
    return { entries: wanted.map((one) => ({ ...one, text: '', textPx: one.xPx, row: 0 })), heightPx: 0 };
  }
  const rows = Math.max(0, ...entries.map(({ row }) => row + 1));
  return { entries, heightPx: rows === 0 ? 0 : rows * lineHeightPx(sizes.smallPx) + sizes.smallPx };
}

type WantedEntry = Pick<StripEntry, 'text' | 'isClear' | 'xPx' | 'halfPx'>;

/** In turn in so many rows; null: they do not fit. */
function inRows(
  wanted: readonly WantedEntry[],
  rows: number,
  { leftPx, rightPx }: Pick<Box, 'leftPx' | 'rightPx'>,
  { smallPx }: ChartSizes,
): StripEntry[] | null {
  const entries: StripEntry[] = [];
  for (let row = 0; row < rows; row += 1) {
    const ofRow = wanted.filter((_, index) => index % rows === row);
    const labels = ofRow.map(({ xPx, halfPx }) => ({ atPx: xPx, lengthPx: 2 * halfPx + smallPx * 0.7 }));
    const places = placeLabels(labels, leftPx, rightPx);
    if (places === null) return null;
    entries.push(...ofRow.map((one, index) => ({ ...one, textPx: places[index] ?? one.xPx, row })));
  }
  return entries;
}

function isAboveItsInstant({ xPx, textPx, halfPx }: StripEntry): boolean {
  return Math.abs(xPx - textPx) <= halfPx;
}

/** Without the instants that lie behind a place; the room stays. */
export function stripUntil({ entries, heightPx }: CheckpointStrip, xPx: number): CheckpointStrip {
  return { entries: entries.filter((entry) => entry.xPx <= xPx), heightPx };
}

/** A line down each instant, filled at its head where the difference is clear. */
export function checkpointShapes({ entries, heightPx }: CheckpointStrip, plot: Box, canvas: Canvas): Shape[] {
  const { sizes, colours } = canvas;
  const { smallPx, hairPx, dotPx } = sizes;
  const headPx = plot.topPx - smallPx * 0.45;
  return entries.flatMap((entry): Shape[] => {
    const { text, isClear, xPx, textPx, halfPx, row } = entry;
    // To the side of the text that is nearer.
    const leaderPx = textPx + Math.sign(xPx - textPx) * halfPx;
    const baselinePx = plot.topPx - heightPx + (row + 1) * lineHeightPx(smallPx) - smallPx * 0.28;
    return [
      lineShape([xPx, headPx, xPx, plot.bottomPx], {
        ...solid(colours.axis, hairPx),
        dashPx: [hairPx, 3 * hairPx],
      }),
      ...(!isAboveItsInstant(entry)
        ? [lineShape([xPx, headPx, leaderPx, baselinePx + smallPx * 0.25], solid(colours.axis, hairPx))]
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
