import type { Shape } from '../picture/picture-model.ts';
import { lineShape, solid, textShape } from '../picture/shapes.ts';
import { measureTextPx } from '../picture/text-width.ts';
import type { AxisScale, Tick } from './axis-scale.ts';
import type { ChartColours } from './chart-colours.ts';
import type { Box } from './chart-frame.ts';
import { type ChartSizes, lineHeightPx, middleToBaselinePx, style } from './chart-sizes.ts';

/** From the plot's edge to a label, in the type's size. */
const GAP_EM = 0.5;

export function widestTickPx(ticks: readonly Tick[], { smallPx }: ChartSizes): number {
  return ticks.reduce((widest, { label }) => Math.max(widest, measureTextPx(label, style(smallPx))), 0);
}

/** What the labels of the upright axis need beside the plot. */
export function tickRoomPx(ticks: readonly Tick[], sizes: ChartSizes): number {
  return widestTickPx(ticks, sizes) + sizes.smallPx * GAP_EM;
}

/** Lines across the plot with their labels at its left; `hasLabels` false: the neighbour on the left has them. */
export function upAxisShapes(
  scale: AxisScale,
  plot: Box,
  toY: (value: number) => number,
  { sizes, colours, hasLabels }: { sizes: ChartSizes; colours: ChartColours; hasLabels: boolean },
): Shape[] {
  const { smallPx, hairPx } = sizes;
  return scale.ticks.flatMap(({ value, label }): Shape[] => {
    const yPx = toY(value);
    const line = lineShape(
      [plot.leftPx, yPx, plot.rightPx, yPx],
      solid(value === 0 ? colours.axis : colours.grid, hairPx),
    );
    if (!hasLabels) return [line];
    return [
      line,
      textShape(
        label,
        plot.leftPx - smallPx * GAP_EM,
        yPx + middleToBaselinePx(smallPx),
        style(smallPx),
        colours.inkSoft,
        { anchor: 'end' },
      ),
    ];
  });
}

/** Short marks below the plot with their labels; those that would touch the one before, or reach over `limits`, are left out. */
export function acrossAxisShapes(
  ticks: readonly Tick[],
  plot: Box,
  toX: (value: number) => number,
  {
    sizes,
    colours,
    limits,
    hasGrid = false,
  }: {
    sizes: ChartSizes;
    colours: ChartColours;
    limits: Pick<Box, 'leftPx' | 'rightPx'>;
    hasGrid?: boolean;
  },
): Shape[] {
  const { smallPx, hairPx } = sizes;
  const type = style(smallPx);
  let freeFromPx = limits.leftPx;
  const shapes: Shape[] = [];
  for (const { value, label } of ticks) {
    const xPx = toX(value);
    const topPx = hasGrid ? plot.topPx : plot.bottomPx;
    shapes.push(
      lineShape(
        [xPx, topPx, xPx, plot.bottomPx + smallPx * 0.25],
        solid(hasGrid && value !== 0 ? colours.grid : colours.axis, hairPx),
      ),
    );
    const halfPx = measureTextPx(label, type) / 2;
    if (xPx - halfPx < freeFromPx || xPx + halfPx > limits.rightPx) continue;
    shapes.push(
      textShape(label, xPx, plot.bottomPx + lineHeightPx(smallPx), type, colours.inkSoft, {
        anchor: 'middle',
      }),
    );
    freeFromPx = xPx + halfPx + smallPx * GAP_EM;
  }
  return shapes;
}

/** How many labels of the upright axis have room. */
export function ticksThatFit(lengthPx: number, sizes: ChartSizes, leastApartEm: number): number {
  return Math.max(2, Math.min(8, Math.floor(lengthPx / (sizes.smallPx * leastApartEm))));
}
