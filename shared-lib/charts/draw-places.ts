import { formatNumber } from '../format-quantity.ts';
import type { Shape } from '../picture/picture-model.ts';
import { lineShape, solid, textShape } from '../picture/shapes.ts';
import { wrapToLines } from '../picture/text-lines.ts';
import { measureTextPx } from '../picture/text-width.ts';
import type { Box } from './chart-frame.ts';
import type { PlacesChart } from './chart-model.ts';
import { lineHeightPx, middleToBaselinePx, style } from './chart-sizes.ts';
import { type Canvas, emptyShapes } from './drawing.ts';
import { nameLines } from './name-lines.ts';
import { pointsBarShapes, pointsScale } from './points-bar.ts';
import { notDrawnWords, pagesOf } from './row-pages.ts';

type Row = PlacesChart['rows'][number];

const LEAST_COLUMN_EM = 26;
/** Of a column's width. */
const NAME_SHARE = 0.3;
const RANGE_SHARE = 0.26;

/** A row for each contender: its place, its points by terms, and the range of places that the scatter allows. */
export function drawPlaces(chart: PlacesChart, canvas: Canvas): Shape[] {
  const { rows } = chart;
  const { sizes, colours, body } = canvas;
  const { smallPx, labelPx } = sizes;
  if (rows.length === 0) return emptyShapes('Nobody is ranked in this table yet.', canvas);
  const linePx = lineHeightPx(smallPx);
  const terms = [...new Set(rows.flatMap((row) => row.terms.map(({ label }) => label)))];
  const legend = wrapToLines(
    terms.map((label, index) => `${index + 1}\u2009=\u2009${label}`).join(',  '),
    style(smallPx),
    body.rightPx - body.leftPx,
    3,
  );
  const hasTerms = terms.length > 1;
  const headPx = linePx * 1.3;
  const footPx = linePx * ((hasTerms ? legend.length : 0) + 1.6);
  const pages = pagesOf(
    rows.length,
    { ...body, topPx: body.topPx + headPx },
    {
      leastRowPx: lineHeightPx(labelPx) * 1.15,
      mostRowPx: labelPx * 4,
      leastColumnPx: LEAST_COLUMN_EM * labelPx,
      gapPx: labelPx * 1.5,
      footPx,
    },
  );
  const drawn = rows.slice(0, pages.columns.length * pages.perColumn);
  const missing = notDrawnWords(drawn.length, rows.length);
  const shapes = pages.columns.flatMap((column, index) => {
    const ofColumn = drawn.slice(index * pages.perColumn, (index + 1) * pages.perColumn);
    return ofColumn.length === 0
      ? []
      : columnShapes({ rows: ofColumn, all: rows, terms, column, rowPx: pages.rowPx, headPx }, canvas);
  });
  const foot = [...(hasTerms ? legend : []), ...(missing === null ? [] : [missing])];
  const firstPx = (pages.columns[0]?.bottomPx ?? body.bottomPx) + linePx * 1.4;
  return [
    ...shapes,
    ...foot.map((line, index) =>
      textShape(line, body.leftPx, firstPx + index * linePx, style(smallPx), colours.inkSoft),
    ),
  ];
}

interface Column {
  readonly rows: readonly Row[];
  readonly all: readonly Row[];
  readonly terms: readonly string[];
  readonly column: Box;
  readonly rowPx: number;
  readonly headPx: number;
}

function columnShapes({ rows, all, terms, column, rowPx, headPx }: Column, canvas: Canvas): Shape[] {
  const { sizes, colours } = canvas;
  const { labelPx, smallPx } = sizes;
  const strong = style(labelPx, 700);
  const nameStyle = style(labelPx, 600);
  const valueStyle = style(labelPx);
  const widthPx = column.rightPx - column.leftPx;
  const placePx = Math.max(...all.map(({ place }) => measureTextPx(`${place}`, strong))) + labelPx * 0.6;
  const totals = rows.map(({ total }) => formatNumber(total, 1));
  const totalPx = Math.max(...totals.map((total) => measureTextPx(total, valueStyle)));
  const mostLines = rowPx >= 2.2 * lineHeightPx(labelPx) ? 2 : 1;
  const names = nameLines(
    rows.map(({ label }) => label),
    nameStyle,
    widthPx * NAME_SHARE,
    mostLines,
  );
  const namePx = Math.max(...names.flat().map((line) => measureTextPx(line, nameStyle)));
  const hasRanges = all.some(({ bestPlace }) => bestPlace !== null);
  const rangePx = hasRanges ? widthPx * RANGE_SHARE : 0;
  const bar = {
    leftPx: column.leftPx + placePx + namePx + labelPx * 0.7,
    rightPx: column.rightPx - rangePx - totalPx - labelPx * (hasRanges ? 1.7 : 0.7),
  };
  const range = { leftPx: column.rightPx - rangePx + smallPx, rightPx: column.rightPx - smallPx };
  const toBarX = pointsScale(all, bar);
  const last = all.length;
  const toRangeX = (place: number): number =>
    last <= 1
      ? (range.leftPx + range.rightPx) / 2
      : range.leftPx + ((place - 1) / (last - 1)) * (range.rightPx - range.leftPx);
  const linePx = lineHeightPx(labelPx);
  const headStyle = style(smallPx);
  const headY = column.topPx - headPx + smallPx;
  return [
    textShape('points', bar.leftPx, headY, headStyle, colours.inkSoft),
    ...(hasRanges
      ? [
          textShape(`place, 1 to ${last}`, column.rightPx, headY, headStyle, colours.inkSoft, {
            anchor: 'end',
          }),
          ...[1, last].map((place) =>
            lineShape(
              [toRangeX(place), column.topPx, toRangeX(place), column.topPx + rows.length * rowPx],
              solid(colours.grid, sizes.hairPx),
            ),
          ),
        ]
      : []),
    ...rows.flatMap((row, index): Shape[] => {
      const middlePx = column.topPx + (index + 0.5) * rowPx;
      const baselinePx = middlePx + middleToBaselinePx(labelPx);
      const lines = names[index] ?? [];
      return [
        textShape(`${row.place}`, column.leftPx + placePx - labelPx * 0.6, baselinePx, strong, colours.ink, {
          anchor: 'end',
        }),
        ...lines.map((line, place) =>
          textShape(
            line,
            column.leftPx + placePx,
            baselinePx + (place - (lines.length - 1) / 2) * linePx,
            nameStyle,
            colours.ink,
          ),
        ),
        ...pointsBarShapes(
          row,
          terms,
          { middlePx, heightPx: Math.min(rowPx * 0.62, labelPx * 1.5) },
          toBarX,
          canvas,
        ),
        textShape(
          totals[index] ?? '',
          bar.rightPx + labelPx * 0.7 + totalPx,
          baselinePx,
          valueStyle,
          colours.ink,
          {
            anchor: 'end',
          },
        ),
        ...(hasRanges ? rangeShapes(row, middlePx, rowPx, toRangeX, canvas) : []),
      ];
    }),
  ];
}

/** From the best place to the worst, with a dot at the one that was reached. */
function rangeShapes(
  { place, bestPlace, worstPlace }: Row,
  middlePx: number,
  rowPx: number,
  toX: (place: number) => number,
  { sizes, colours }: Canvas,
): Shape[] {
  const capPx = Math.min(sizes.dotPx * 1.3, rowPx * 0.25);
  const stroke = solid(colours.ink, sizes.thinPx * 1.4);
  const interval =
    bestPlace === null || worstPlace === null || bestPlace === worstPlace
      ? []
      : [
          lineShape([toX(bestPlace), middlePx, toX(worstPlace), middlePx], stroke),
          ...[bestPlace, worstPlace].map((end) =>
            lineShape([toX(end), middlePx - capPx, toX(end), middlePx + capPx], stroke),
          ),
        ];
  const isKnown = bestPlace !== null;
  return [
    ...interval,
    {
      kind: 'circle',
      xPx: toX(place),
      yPx: middlePx,
      radiusPx: Math.min(sizes.dotPx, rowPx * 0.22),
      fill: isKnown ? colours.ink : colours.ground,
      stroke: solid(isKnown ? colours.ground : colours.ink, sizes.hairPx),
    },
  ];
}
