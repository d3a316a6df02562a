import type { Shape } from '../picture/picture-model.ts';
import { lineShape, solid, textShape } from '../picture/shapes.ts';
import { measureTextPx } from '../picture/text-width.ts';
import { extentOf, isDrawable, LEAST_DRAWN, placeOn } from './axis-scale.ts';
import { mixColours } from './chart-colours.ts';
import type { PlacesChart } from './chart-model.ts';
import { middleToBaselinePx, style } from './chart-sizes.ts';
import type { Canvas } from './drawing.ts';

type Row = PlacesChart['rows'][number];

/** Where points stand on the bars of all rows: from zero, to the left where a term takes points away. */
export function pointsScale(
  rows: readonly Row[],
  { leftPx, rightPx }: { readonly leftPx: number; readonly rightPx: number },
): (points: number) => number {
  const extent = extentOf([0, ...rows.flatMap((row) => [gain(row), loss(row)])]);
  return placeOn(
    extent === null || extent.max - extent.min < LEAST_DRAWN ? { min: 0, max: 1 } : extent,
    leftPx,
    rightPx,
  );
}

/** The points of each term beside each other, numbered as the terms are; greys, since colours belong to tools. */
export function pointsBarShapes(
  row: Row,
  terms: readonly string[],
  { middlePx, heightPx }: { readonly middlePx: number; readonly heightPx: number },
  toX: (points: number) => number,
  { sizes, colours }: Canvas,
): Shape[] {
  const type = style(sizes.smallPx, 600);
  let [gained, lost] = [0, 0];
  const parts = partsOf(row).flatMap(({ label, points }): Shape[] => {
    const from = points >= 0 ? gained : lost;
    if (points >= 0) gained += points;
    else lost += points;
    const [left, right] = [toX(Math.min(from, from + points)), toX(Math.max(from, from + points))];
    const place = terms.indexOf(label);
    const number = `${place + 1}`;
    const isNumbered =
      terms.length > 1 &&
      measureTextPx(number, type) + sizes.smallPx * 0.4 <= right - left &&
      heightPx >= sizes.smallPx;
    const fill = mixColours(colours.ground, colours.ink, place % 2 === 0 ? 0.3 : 0.17);
    return [
      {
        kind: 'rectangle',
        xPx: left,
        yPx: middlePx - heightPx / 2,
        widthPx: Math.max(right - left - sizes.hairPx, 0),
        heightPx,
        radiusPx: 0,
        fill,
        stroke: null,
        opacity: 1,
      },
      ...(isNumbered
        ? [
            textShape(
              number,
              (left + right) / 2,
              middlePx + middleToBaselinePx(sizes.smallPx),
              type,
              colours.ink,
              {
                anchor: 'middle',
              },
            ),
          ]
        : []),
    ];
  });
  const zero = toX(0);
  return [
    ...parts,
    lineShape(
      [zero, middlePx - heightPx * 0.7, zero, middlePx + heightPx * 0.7],
      solid(colours.axis, sizes.hairPx),
    ),
  ];
}

/** Terms with points; a total without any term's is one part. */
function partsOf({ terms, total, label }: Row): { readonly label: string; readonly points: number }[] {
  const known = terms.flatMap(({ label: name, points }) =>
    points === null || !isDrawable(points) || points === 0 ? [] : [{ label: name, points }],
  );
  return known.length > 0 || !isDrawable(total) || total === 0 ? known : [{ label, points: total }];
}

function gain(row: Row): number {
  return partsOf(row).reduce((sum, { points }) => sum + Math.max(points, 0), 0);
}

function loss(row: Row): number {
  return partsOf(row).reduce((sum, { points }) => sum + Math.min(points, 0), 0);
}
