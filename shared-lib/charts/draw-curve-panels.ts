import { unitLabel } from '../format-quantity.ts';
import type { Shape } from '../picture/picture-model.ts';
import { lineShape, solid, textShape } from '../picture/shapes.ts';
import { cutEnd, wrapToLines } from '../picture/text-lines.ts';
import { acrossAxisShapes, ticksThatFit, tickRoomPx, upAxisShapes } from './axes.ts';
import { type AxisScale, axisBetween, placeOn } from './axis-scale.ts';
import type { Box } from './chart-frame.ts';
import type { CurveChart } from './chart-model.ts';
import { lineHeightPx, prose } from './chart-sizes.ts';
import { type NamedCurves, curveShapes, headShapes } from './curve-names.ts';
import { createCurvePen } from './curve-pen.ts';
import { type Canvas, levelWords } from './drawing.ts';
import { nameLines } from './name-lines.ts';

export interface PanelRequest {
  readonly named: readonly NamedCurves[];
  readonly fromS: number;
  readonly toS: number;
  readonly up: (mostTicks: number) => AxisScale;
  readonly shownPerNm: number;
  readonly untilS: number | null;
  readonly levels: CurveChart['levels'];
}

/** Smaller ones are not read. In the size of the small type. */
const LEAST_WIDTH_EM = 11;
const LEAST_HEIGHT_EM = 5.5;
const LEFT_OVER_LINES = 2;
/** How wide a panel is over how high, at best. */
const BEST_SHAPE = 1.5;

/**
 * More than five names: a small plot for each, in which its own runs stand before all others in grey. Names that have no plot of their
 * own are named below; their curves are among the grey ones.
 */
export function drawCurvePanels(request: PanelRequest, canvas: Canvas): Shape[] {
  const { named, fromS, toS, up, shownPerNm, untilS } = request;
  const { sizes, colours, body, look } = canvas;
  const { smallPx } = sizes;
  const linePx = lineHeightPx(smallPx);
  const roomy = up(3);
  const leftPx = body.leftPx + tickRoomPx(roomy.ticks, sizes);
  const top = body.topPx + linePx;
  const full = { leftPx, rightPx: body.rightPx, topPx: top, bottomPx: body.bottomPx - 2 * linePx };
  const areAllShown = gridOf(named.length, full, smallPx).count === named.length;
  const area = areAllShown ? full : { ...full, bottomPx: full.bottomPx - LEFT_OVER_LINES * linePx };
  const grid = gridOf(named.length, area, smallPx);
  const leftOver = leftOverLines(named.slice(grid.count), body, smallPx);
  const cellPx = (area.rightPx - area.leftPx) / grid.columns;
  const rowPx = (area.bottomPx - area.topPx) / grid.rows;
  const scale = up(ticksThatFit(rowPx - linePx * 1.5, sizes, 3));
  const across = axisBetween(0, toS, Math.max(2, Math.floor(cellPx / (smallPx * 4))));
  const shownNames = named.slice(0, grid.count);
  const names = nameLines(
    shownNames.map(({ name }) => name),
    prose(smallPx, 600),
    cellPx - smallPx,
    1,
  );

  const panels = shownNames.flatMap((one, index): Shape[] => {
    const [column, row] = [index % grid.columns, Math.floor(index / grid.columns)];
    const plot: Box = {
      leftPx: area.leftPx + column * cellPx,
      rightPx: area.leftPx + (column + 1) * cellPx - smallPx,
      topPx: area.topPx + row * rowPx + linePx * 1.25,
      bottomPx: area.topPx + (row + 1) * rowPx - smallPx * 0.5,
    };
    const toShownY = placeOn(scale, plot.bottomPx, plot.topPx);
    const pen = createCurvePen({ plot, fromS, toS, scale, shownPerNm, untilS });
    const { toX, toY } = pen;
    const isLowest = index + grid.columns >= shownNames.length;
    return [
      ...upAxisShapes(scale, plot, toShownY, { sizes, colours, hasLabels: column === 0 }),
      ...(isLowest
        ? acrossAxisShapes(across.ticks, plot, toX, {
            sizes,
            colours,
            limits: {
              leftPx: column === 0 ? body.leftPx : plot.leftPx,
              rightPx: plot.rightPx + smallPx * 0.7,
            },
          })
        : []),
      ...request.levels.map(({ torqueNm }) =>
        lineShape([plot.leftPx, toY(torqueNm), plot.rightPx, toY(torqueNm)], {
          ...solid(colours.inkSoft, sizes.hairPx),
          dashPx: [6 * sizes.hairPx, 3 * sizes.hairPx],
        }),
      ),
      ...named.map(({ main }) => lineShape(pen.points(main), solid(colours.ghost, sizes.hairPx))),
      ...curveShapes(one, canvas, pen),
      ...(untilS === null ? [] : headShapes([one.main], one.colour, canvas, pen)),
      textShape(
        names[index]?.[0] ?? '',
        plot.leftPx,
        plot.topPx - smallPx * 0.45,
        prose(smallPx, 600),
        colours.ink,
      ),
    ];
  });

  const unit = `torque, ${unitLabel(look.torqueUnit)}, over time from onset, s`;
  const levels = request.levels
    .map(({ label, torqueNm }) => levelWords(label, torqueNm, 'torque', look.torqueUnit))
    .join('; ');
  const heading = levels === '' ? unit : `${unit}; thin dashed line: ${levels}`;
  return [
    textShape(
      cutEnd(heading, prose(smallPx), body.rightPx - body.leftPx),
      body.leftPx,
      body.topPx + smallPx * 0.8,
      prose(smallPx),
      colours.inkSoft,
    ),
    ...panels,
    ...leftOver.map((line, index) =>
      textShape(
        line,
        body.leftPx,
        body.bottomPx - (leftOver.length - 1 - index) * linePx - smallPx * 0.28,
        prose(smallPx),
        colours.inkSoft,
      ),
    ),
  ];
}

/** Names that have no plot of their own, in words. */
function leftOverLines(left: readonly NamedCurves[], { leftPx, rightPx }: Box, smallPx: number): string[] {
  if (left.length === 0) return [];
  const names = left.map(({ name }) => name).join('; ');
  return wrapToLines(
    `${left.length} more without a plot of their own, among the grey curves: ${names}.`,
    prose(smallPx),
    rightPx - leftPx,
    LEFT_OVER_LINES,
  );
}

/** As many columns and rows as make panels of the best shape, and how many panels that are. */
function gridOf(
  wanted: number,
  { leftPx, rightPx, topPx, bottomPx }: Box,
  smallPx: number,
): { readonly columns: number; readonly rows: number; readonly count: number } {
  const [widthPx, heightPx] = [rightPx - leftPx, bottomPx - topPx];
  const mostColumns = Math.max(1, Math.floor(widthPx / (LEAST_WIDTH_EM * smallPx)));
  const mostRows = Math.max(1, Math.floor(heightPx / (LEAST_HEIGHT_EM * smallPx)));
  const grids = Array.from({ length: mostColumns }, (_, index) => {
    const columns = index + 1;
    const rows = Math.min(mostRows, Math.ceil(wanted / columns));
    const shape = widthPx / columns / (heightPx / rows);
    return {
      columns,
      rows,
      count: Math.min(wanted, columns * rows),
      off: Math.abs(Math.log(shape / BEST_SHAPE)),
    };
  });
  const [best] = grids.toSorted((one, other) => other.count - one.count || one.off - other.off);
  return best ?? { columns: 1, rows: 1, count: 1 };
}
