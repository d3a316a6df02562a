import type { Shape, Stroke, TextStyle } from '../picture/picture-model.ts';
import { lineShape, solid, textShape } from '../picture/shapes.ts';
import { measureTextPx } from '../picture/text-width.ts';
import type { ChartColours } from './chart-colours.ts';
import type { Box } from './chart-frame.ts';
import { type ChartSizes, lineHeightPx, middleToBaselinePx } from './chart-sizes.ts';
import { placeLabels } from './place-labels.ts';

/** What stands beside a plot, or below it where there is no room beside. */
export interface EndLabel {
  readonly lines: readonly string[];
  readonly style: TextStyle;
  readonly colour: string;
  /** How the line looks that it names. */
  readonly sample: Stroke;
  /** Where that line ends; null: it has no end, and the label stands where there is room. */
  readonly end: { readonly xPx: number; readonly yPx: number } | null;
  /** A thin line leads from the end to the label. */
  readonly hasLeader: boolean;
}

const SAMPLE_EM = 2.2;
const GAP_EM = 0.4;

export function samplePx({ labelPx }: ChartSizes): number {
  return labelPx * SAMPLE_EM;
}

/** The column that such labels need, from the plot's edge on. */
export function columnWidthPx(
  labels: readonly Pick<EndLabel, 'lines' | 'style'>[],
  sizes: ChartSizes,
): number {
  const widest = Math.max(
    0,
    ...labels.flatMap(({ lines, style }) => lines.map((line) => measureTextPx(line, style))),
  );
  return widest === 0 ? 0 : widest + samplePx(sizes) + 3 * GAP_EM * sizes.labelPx;
}

/** Labels beside the ends of what they name; null: they have no room there. `column`: from the plot's edge to the picture's. */
export function endLabelShapes(
  labels: readonly EndLabel[],
  column: Box,
  { sizes, colours }: { readonly sizes: ChartSizes; readonly colours: ChartColours },
): Shape[] | null {
  const places = placeLabels(
    labels.map(({ lines, style, end }) => ({
      atPx: end?.yPx ?? Number.NaN,
      lengthPx: heightOf(lines, style) + sizes.labelPx * 0.25,
    })),
    column.topPx,
    column.bottomPx,
  );
  if (places === null) return null;
  const gapPx = GAP_EM * sizes.labelPx;
  const sampleLeftPx = column.leftPx + 2 * gapPx;
  const textLeftPx = sampleLeftPx + samplePx(sizes) + gapPx;
  return labels.flatMap((label, index): Shape[] => {
    const middlePx = places[index] ?? column.topPx;
    const leader =
      label.hasLeader && label.end !== null
        ? [
            lineShape([label.end.xPx, label.end.yPx, sampleLeftPx - gapPx / 2, middlePx], {
              ...solid(colours.axis, sizes.hairPx),
              dashPx: [sizes.hairPx, 2 * sizes.hairPx],
            }),
          ]
        : [];
    return [
      ...leader,
      lineShape([sampleLeftPx, middlePx, sampleLeftPx + samplePx(sizes), middlePx], label.sample),
      ...textBlock(label, textLeftPx, middlePx),
    ];
  });
}

/** The same names in rows below the plot. Returns the height they take; the shapes begin at `topPx`. */
export function legendShapes(
  labels: readonly EndLabel[],
  box: Pick<Box, 'leftPx' | 'rightPx' | 'topPx'>,
  sizes: ChartSizes,
): { readonly shapes: Shape[]; readonly heightPx: number } {
  const gapPx = GAP_EM * sizes.labelPx;
  const shapes: Shape[] = [];
  let [xPx, yPx, rowPx] = [box.leftPx, box.topPx, 0];
  for (const label of labels) {
    const textPx = Math.max(...label.lines.map((line) => measureTextPx(line, label.style)));
    const itemPx = samplePx(sizes) + gapPx + textPx;
    if (xPx > box.leftPx && xPx + itemPx > box.rightPx) {
      [xPx, yPx, rowPx] = [box.leftPx, yPx + rowPx, 0];
    }
    const heightPx = heightOf(label.lines, label.style) + gapPx / 2;
    const middlePx = yPx + heightPx / 2;
    shapes.push(
      lineShape([xPx, middlePx, xPx + samplePx(sizes), middlePx], label.sample),
      ...textBlock(label, xPx + samplePx(sizes) + gapPx, middlePx),
    );
    xPx += itemPx + 3 * gapPx;
    rowPx = Math.max(rowPx, heightPx);
  }
  return { shapes, heightPx: yPx + rowPx - box.topPx };
}

function heightOf(lines: readonly string[], { sizePx }: TextStyle): number {
  return lines.length * lineHeightPx(sizePx);
}

function textBlock({ lines, style, colour }: EndLabel, leftPx: number, middlePx: number): Shape[] {
  const linePx = lineHeightPx(style.sizePx);
  const firstPx = middlePx - ((lines.length - 1) / 2) * linePx + middleToBaselinePx(style.sizePx);
  return lines.map((line, index) => textShape(line, leftPx, firstPx + index * linePx, style, colour));
}
