import { formatNumber } from '../format-quantity.ts';
import type { Shape, TextStyle } from '../picture/picture-model.ts';
import { lineShape, solid, textShape } from '../picture/shapes.ts';
import { wrapToLines } from '../picture/text-lines.ts';
import { measureTextPx } from '../picture/text-width.ts';
import { pointDecimals } from '../standings/words/point-decimals.ts';
import { placeOn } from './axis-scale.ts';
import type { Box } from './chart-frame.ts';
import type { PlacesChart } from './chart-model.ts';
import { lineHeightPx, middleToBaselinePx, prose, style } from './chart-sizes.ts';
import { type Canvas, emptyShapes } from './drawing.ts';
import { nameLines } from './name-lines.ts';
import { pointsBarShapes, pointsScale } from './points-bar.ts';
import { notDrawnWords, pagesOf, type RowPages } from './row-pages.ts';

type Row = PlacesChart['rows'][number];

const LEAST_COLUMN_EM = 26;
/** Of a column's width. */
const NAME_SHARE = 0.36;
const RANGE_SHARE = 0.22;

/** A row for each contender: its place, its points by terms, and the range of places that the scatter allows. */
export function drawPlaces(chart: PlacesChart, canvas: Canvas): Shape[] {
  const { rows } = chart;
  const { sizes, colours, body } = canvas;
  const { smallPx, labelPx } = sizes;
  if (rows.length === 0) return emptyShapes('Nobody is ranked in this table yet.', canvas);
  const linePx = lineHeightPx(smallPx);
  const terms = [...new Set(rows.flatMap((row) => row.terms.map(({ label }) => label)))];
  const legend = wrapToLines(
    `Points: ${terms.map((label, index) => `${index + 1}\u00a0${label}`).join(', ')}`,
    prose(smallPx),
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
      leastRowPx: lineHeightPx(smallPx) * 1.2,
      mostRowPx: labelPx * 8,
      leastColumnPx: LEAST_COLUMN_EM * labelPx,
      gapPx: labelPx * 1.5,
      footPx,
    },
  );
  const drawn = rows.slice(0, pages.columns.length * pages.perColumn);
  const missing = notDrawnWords(drawn.length, rows.length);
  const layout = layoutOf(drawn, rows, pages, canvas);
  const shapes = drawn.flatMap((row, index): Shape[] => {
    const column = pages.columns[Math.floor(index / pages.perColumn)];
    if (column === undefined) return [];
    const middlePx = column.topPx + ((index % pages.perColumn) + 0.5) * pages.rowPx;
    return rowShapes(
      { row, lines: layout.names[index] ?? [], terms, leftPx: column.leftPx, middlePx },
      layout,
      canvas,
    );
  });
  const heads = pages.columns.flatMap((column, index): Shape[] => {
    const count = Math.min(pages.perColumn, drawn.length - index * pages.perColumn);
    return count <= 0
      ? []
      : headShapes({ ...column, bottomPx: column.topPx + count * pages.rowPx }, layout, canvas);
  });
  const foot = [...(hasTerms ? legend : []), ...(missing === null ? [] : [missing])];
  const firstPx = (pages.columns[0]?.bottomPx ?? body.bottomPx) + linePx * 1.4;
  return [
    ...heads,
    ...shapes,
    ...foot.map((line, index) =>
      textShape(line, body.leftPx, firstPx + index * linePx, prose(smallPx), colours.inkSoft),
    ),
  ];
}

/** Where the parts of a row stand, from the left edge of its column. */
interface Layout {
  readonly names: readonly (readonly string[])[];
  readonly typePx: number;
  readonly rowPx: number;
  readonly placeEndPx: number;
  readonly namePx: number;
  readonly totalEndPx: number;
  /** Of totals, so that rows that differ do not read alike. */
  readonly decimals: number;
  readonly barPx: number;
  readonly toBarPx: (points: number) => number;
  /** Null: no range is known. */
  readonly toRangePx: ((place: number) => number) | null;
  readonly lastPlace: number;
}

function layoutOf(drawn: readonly Row[], all: readonly Row[], pages: RowPages, { sizes }: Canvas): Layout {
  const { labelPx, smallPx } = sizes;
  const [first] = pages.columns;
  const widthPx = first === undefined ? 0 : first.rightPx - first.leftPx;
  const isRoomy = pages.rowPx >= 2.2 * lineHeightPx(labelPx);
  const typePx = isRoomy ? labelPx : smallPx;
  const nameStyle = prose(typePx, 600);
  const widest = (texts: readonly string[], type: TextStyle): number =>
    Math.max(0, ...texts.map((text) => measureTextPx(text, type)));
  const placeEndPx = widest(
    all.map(({ place }) => `${place}`),
    style(typePx, 700),
  );
  const names = nameLines(
    drawn.map(({ label }) => label),
    nameStyle,
    widthPx * NAME_SHARE,
    isRoomy ? 2 : 1,
  );
  const decimals = pointDecimals(all.map(({ total }) => total));
  const totalPx = widest(
    drawn.map(({ total }) => formatNumber(total, decimals)),
    style(typePx),
  );
  const hasRanges = all.some(({ bestPlace }) => bestPlace !== null);
  const rangePx = hasRanges ? widthPx * RANGE_SHARE : 0;
  const namePx = placeEndPx + typePx * 0.6;
  const barPx = namePx + widest(names.flat(), nameStyle) + typePx;
  const totalEndPx = widthPx - rangePx - (hasRanges ? typePx : 0);
  const lastPlace = Math.max(
    ...all.map(({ place, worstPlace }) => Math.max(place, worstPlace ?? place)),
    all.length,
  );
  const range = { leftPx: widthPx - rangePx + smallPx, rightPx: widthPx - smallPx };
  return {
    names,
    typePx,
    rowPx: pages.rowPx,
    placeEndPx,
    namePx,
    totalEndPx,
    decimals,
    barPx,
    toBarPx: pointsScale(all, {
      leftPx: barPx,
      rightPx: Math.max(totalEndPx - totalPx - typePx * 0.6, barPx + 1),
    }),
    toRangePx: hasRanges
      ? placeOn({ min: 1, max: Math.max(lastPlace, 2) }, range.leftPx, range.rightPx)
      : null,
    lastPlace,
  };
}

function headShapes(
  column: Box,
  { barPx, toRangePx, lastPlace }: Layout,
  { sizes, colours }: Canvas,
): Shape[] {
  const { smallPx, hairPx } = sizes;
  const type = prose(smallPx);
  const headPx = column.topPx - smallPx * 0.6;
  const points = textShape('points', column.leftPx + barPx, headPx, type, colours.inkSoft);
  if (toRangePx === null) return [points];
  const ends = [...new Set([1, lastPlace])].map((place) => ({
    place,
    xPx: column.leftPx + toRangePx(place),
  }));
  return [
    points,
    ...ends.flatMap(({ place, xPx }): Shape[] => [
      lineShape([xPx, column.topPx, xPx, column.bottomPx], solid(colours.grid, hairPx)),
      textShape(place === 1 ? 'place 1' : `${place}`, xPx, headPx, type, colours.inkSoft, {
        anchor: place === 1 ? 'start' : 'end',
      }),
    ]),
  ];
}

interface PlacedRow {
  readonly row: Row;
  readonly lines: readonly string[];
  readonly terms: readonly string[];
  readonly leftPx: number;
  readonly middlePx: number;
}

function rowShapes(
  { row, lines, terms, leftPx, middlePx }: PlacedRow,
  layout: Layout,
  canvas: Canvas,
): Shape[] {
  const { colours } = canvas;
  const { typePx, rowPx, placeEndPx, namePx, totalEndPx, decimals, toBarPx, toRangePx } = layout;
  const baselinePx = middlePx + middleToBaselinePx(typePx);
  const linePx = lineHeightPx(typePx);
  const total = formatNumber(row.total, decimals);
  return [
    textShape(`${row.place}`, leftPx + placeEndPx, baselinePx, style(typePx, 700), colours.ink, {
      anchor: 'end',
    }),
    ...lines.map((line, place) =>
      textShape(
        line,
        leftPx + namePx,
        baselinePx + (place - (lines.length - 1) / 2) * linePx,
        prose(typePx, 600),
        colours.ink,
      ),
    ),
    ...pointsBarShapes(
      row,
      terms,
      { middlePx, heightPx: Math.min(rowPx * 0.62, typePx * 1.5) },
      (points) => leftPx + toBarPx(points),
      canvas,
    ),
    textShape(total, leftPx + totalEndPx, baselinePx, style(typePx), colours.ink, { anchor: 'end' }),
    ...(toRangePx === null
      ? []
      : rangeShapes(row, middlePx, rowPx, (place) => leftPx + toRangePx(place), canvas)),
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
