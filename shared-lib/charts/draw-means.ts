import { formatNumber, unitLabel } from '../format-quantity.ts';
import type { Shape, TextStyle } from '../picture/picture-model.ts';
import { lineShape, solid, textShape } from '../picture/shapes.ts';
import { cutEnd } from '../picture/text-lines.ts';
import { measureTextPx } from '../picture/text-width.ts';
import { acrossAxisShapes } from './axes.ts';
import { type AxisScale, axisAround, extentOf, isDrawable, placeOn } from './axis-scale.ts';
import { mixColours } from './chart-colours.ts';
import type { Box } from './chart-frame.ts';
import type { ChartLook, MeansChart } from './chart-model.ts';
import { lineHeightPx, middleToBaselinePx, prose, style } from './chart-sizes.ts';
import { type Canvas, emptyShapes, levelWords } from './drawing.ts';
import { halfOfMean, meanDecimals, shownMean } from './mean-values.ts';
import { placeLabels } from './place-labels.ts';
import { nameLines } from './name-lines.ts';
import { notDrawnWords, pagesOf } from './row-pages.ts';

type Row = MeansChart['rows'][number];

/** Zero comes into the picture where the values lie no further from it than this share of the greatest. */
const NEAR_ZERO = 0.45;
const LEAST_COLUMN_EM = 22;
const NAME_SHARE = 0.34;
/** Over the column of values. */
const VALUE_HEAD = 'mean ± 95 %';

/** A row for each contender: its runs as dots, the mean, and the interval of the mean. */
export function drawMeans(chart: MeansChart, canvas: Canvas): Shape[] {
  const { rows } = chart;
  const { sizes, colours, body, look } = canvas;
  const { smallPx, labelPx } = sizes;
  if (!rows.some(({ mean, runs }) => [mean, ...runs].some(isDrawable))) {
    return emptyShapes('There is nothing to draw: no run has this figure.', canvas);
  }
  const linePx = lineHeightPx(smallPx);
  const levelsPx = linePx * 1.4;
  const pages = pagesOf(
    rows.length,
    { ...body, topPx: body.topPx + levelsPx },
    {
      leastRowPx: lineHeightPx(smallPx) * 1.2,
      mostRowPx: labelPx * 8,
      leastColumnPx: LEAST_COLUMN_EM * labelPx,
      gapPx: labelPx * 1.5,
      footPx: linePx * (chart.levels.length === 0 ? 3.2 : 4.2),
    },
  );
  const drawn = rows.slice(0, pages.columns.length * pages.perColumn);
  const missing = notDrawnWords(drawn.length, rows.length);
  const isRoomy = pages.rowPx >= 2.2 * lineHeightPx(labelPx);
  const nameStyle = prose(isRoomy ? labelPx : smallPx, 600);
  const [first] = pages.columns;
  const namePx = first === undefined ? 0 : (first.rightPx - first.leftPx) * NAME_SHARE;
  const names = nameLines(
    drawn.map(({ label }) => label),
    nameStyle,
    namePx,
    isRoomy ? 2 : 1,
  );
  const columns = pages.columns.flatMap((column, index) => {
    const [from, to] = [index * pages.perColumn, (index + 1) * pages.perColumn];
    const rowsOfColumn = drawn.slice(from, to);
    const request = {
      rows: rowsOfColumn,
      names: names.slice(from, to),
      nameStyle,
      column,
      rowPx: pages.rowPx,
    };
    return rowsOfColumn.length === 0 ? [] : [columnShapes(chart, request, canvas)];
  });
  const levels = columns.every(({ areLevelsNamed }) => areLevelsNamed)
    ? []
    : chart.levels.map(({ label, value }) => levelWords(label, value, chart.quantity, look.torqueUnit));
  const foot = [
    ...(levels.length === 0 ? [] : [`Thin dashed line: ${levels.join('; ')}`]),
    ...(missing === null ? [] : [missing]),
  ].map((line) => cutEnd(line, prose(smallPx), body.rightPx - body.leftPx));
  const axisWords = axisTitle(chart, look, scaleOf(chart, look, 4));
  const footPx = (pages.columns[0]?.bottomPx ?? body.bottomPx) + linePx * 2.1;
  return [
    ...columns.flatMap(({ shapes }) => shapes),
    textShape(axisWords, body.leftPx, footPx, prose(smallPx, 600), colours.ink),
    ...foot.map((line, index) =>
      textShape(line, body.leftPx, footPx + (index + 1) * linePx, prose(smallPx), colours.inkSoft),
    ),
  ];
}

interface Column {
  readonly rows: readonly Row[];
  readonly column: Box;
  readonly rowPx: number;
  readonly names: readonly (readonly string[])[];
  readonly nameStyle: TextStyle;
}

function columnShapes(
  chart: MeansChart,
  { rows, names, nameStyle, column, rowPx }: Column,
  canvas: Canvas,
): { readonly shapes: Shape[]; readonly areLevelsNamed: boolean } {
  const { sizes, colours, look } = canvas;
  const { labelPx, smallPx } = sizes;
  const valueStyle = style(nameStyle.sizePx);
  const decimals = meanDecimals(chart, look);
  const values = rows.map((row) => valueWords(chart, row, look, decimals));
  const valuePx = Math.max(
    measureTextPx(VALUE_HEAD, prose(smallPx)),
    ...values.map((words) => measureTextPx(words, valueStyle)),
  );
  const usedPx = Math.max(...names.flat().map((line) => measureTextPx(line, nameStyle)));
  const plot: Box = {
    leftPx: column.leftPx + usedPx + labelPx,
    rightPx: column.rightPx - valuePx - labelPx,
    topPx: column.topPx,
    bottomPx: column.topPx + rows.length * rowPx,
  };
  const widthPx = plot.rightPx - plot.leftPx;
  const scale = scaleOf(chart, look, Math.max(2, Math.floor(widthPx / (smallPx * 4.5))));
  const toShownX = placeOn(scale, plot.leftPx, plot.rightPx);
  const toX = (value: number): number => toShownX(shownMean(chart, look, value));
  const headPx = measureTextPx(VALUE_HEAD, prose(smallPx)) + smallPx;
  const levels = levelShapes(
    chart,
    plot,
    toX,
    { leftPx: column.leftPx, rightPx: column.rightPx - headPx },
    canvas,
  );
  const linePx = lineHeightPx(nameStyle.sizePx);
  const dropPx = middleToBaselinePx(nameStyle.sizePx);
  const shapes: Shape[] = [
    ...acrossAxisShapes(scale.ticks, plot, toShownX, {
      sizes,
      colours,
      limits: { leftPx: column.leftPx, rightPx: column.rightPx },
      hasGrid: true,
    }),
    textShape(VALUE_HEAD, column.rightPx, plot.topPx - smallPx * 0.6, prose(smallPx), colours.inkSoft, {
      anchor: 'end',
    }),
    ...levels.lines,
    ...(levels.names ?? []),
    ...rows.flatMap((row, index): Shape[] => {
      const middlePx = plot.topPx + (index + 0.5) * rowPx;
      const lines = names[index] ?? [];
      return [
        ...lines.map((line, place) =>
          textShape(
            line,
            column.leftPx,
            middlePx + (place - (lines.length - 1) / 2) * linePx + dropPx,
            nameStyle,
            colours.ink,
          ),
        ),
        ...rowShapes(row, middlePx, rowPx, toX, canvas),
        textShape(values[index] ?? '', column.rightPx, middlePx + dropPx, valueStyle, colours.ink, {
          anchor: 'end',
        }),
      ];
    }),
  ];
  return { shapes, areLevelsNamed: levels.names !== null };
}

function rowShapes(
  row: Row,
  middlePx: number,
  rowPx: number,
  toX: (value: number) => number,
  canvas: Canvas,
): Shape[] {
  const { sizes, colours } = canvas;
  const colour = colours.curves[row.colour] ?? colours.ink;
  const soft = mixColours(colour, colours.ground, 0.35);
  const dotPx = Math.min(sizes.dotPx, rowPx * 0.16);
  const capPx = Math.min(sizes.dotPx * 2, rowPx * 0.3);
  // The runs have a lane of their own below the mean; those that agree would hide each other.
  const lanePx = Math.min(dotPx * 2.4, rowPx * 0.26);
  const meanPx = middlePx - lanePx / 2;
  const shapes: Shape[] = row.runs.filter(isDrawable).map((run, index) => ({
    kind: 'circle',
    xPx: toX(run),
    yPx: middlePx + lanePx * 0.9 + (index % 2) * dotPx * 0.8,
    radiusPx: dotPx * 0.8,
    fill: null,
    stroke: solid(soft, sizes.thinPx),
  }));
  if (row.low !== null && row.high !== null && isDrawable(row.low) && isDrawable(row.high)) {
    const [low, high] = [toX(row.low), toX(row.high)];
    shapes.push(
      lineShape([low, meanPx, high, meanPx], solid(colour, sizes.thickPx * 0.7)),
      lineShape([low, meanPx - capPx, low, meanPx + capPx], solid(colour, sizes.thickPx * 0.7)),
      lineShape([high, meanPx - capPx, high, meanPx + capPx], solid(colour, sizes.thickPx * 0.7)),
    );
  }
  if (isDrawable(row.mean)) {
    const stroke = solid(colours.ground, sizes.hairPx);
    shapes.push({
      kind: 'circle',
      xPx: toX(row.mean),
      yPx: meanPx,
      radiusPx: dotPx * 1.5,
      fill: colour,
      stroke,
    });
  }
  return shapes;
}

/** Lines down the plot; their names above it, or null where they have no room there beside the head of the values. */
function levelShapes(
  chart: MeansChart,
  plot: Box,
  toX: (value: number) => number,
  limits: Pick<Box, 'leftPx' | 'rightPx'>,
  { sizes, colours, look }: Canvas,
): { readonly lines: Shape[]; readonly names: Shape[] | null } {
  const type = prose(sizes.smallPx);
  const levels = chart.levels.filter(({ value }) => Number.isFinite(toX(value)));
  const words = levels.map(({ label, value }) => levelWords(label, value, chart.quantity, look.torqueUnit));
  const places = placeLabels(
    levels.map(({ value }, index) => ({
      atPx: toX(value),
      lengthPx: measureTextPx(words[index] ?? '', type) + sizes.smallPx,
    })),
    limits.leftPx,
    limits.rightPx,
  );
  const baselinePx = plot.topPx - sizes.smallPx * 0.6;
  const dash = {
    ...solid(colours.inkSoft, sizes.hairPx),
    dashPx: [6 * sizes.hairPx, 3 * sizes.hairPx],
  };
  return {
    lines: levels.map(({ value }) =>
      lineShape([toX(value), plot.topPx - sizes.smallPx * 0.3, toX(value), plot.bottomPx], dash),
    ),
    names:
      places?.map((xPx, index) =>
        textShape(words[index] ?? '', xPx, baselinePx, type, colours.inkSoft, { anchor: 'middle' }),
      ) ?? null,
  };
}

function scaleOf(chart: MeansChart, look: ChartLook, mostTicks: number): AxisScale {
  const extent = extentOf(
    [
      ...chart.rows.flatMap(({ mean, low, high, runs }) => [mean, low ?? mean, high ?? mean, ...runs]),
      ...chart.levels.map(({ value }) => value),
    ].map((value) => shownMean(chart, look, value)),
  );
  const fromZero = extent === null || Math.abs(extent.min) <= NEAR_ZERO * Math.abs(extent.max);
  return axisAround(extent, { mostTicks, fromZero });
}

function axisTitle(
  { quantity, quantityWords }: MeansChart,
  { torqueUnit }: ChartLook,
  { min }: AxisScale,
): string {
  const unit = quantity === 'torque' ? unitLabel(torqueUnit) : 's';
  return `${quantityWords}, ${unit}${min > 0 ? ' (the axis does not begin at zero)' : ''}`;
}

function valueWords(chart: MeansChart, row: Row, look: ChartLook, decimals: number): string {
  const half = halfOfMean(chart, row, look);
  const mean = formatNumber(shownMean(chart, look, row.mean), decimals);
  return half === null ? mean : `${mean} ± ${formatNumber(half, decimals)}`;
}
