import { fromOwnUnit, unitLabel } from '../format-quantity.ts';
import type { Shape } from '../picture/picture-model.ts';
import { solid, textShape } from '../picture/shapes.ts';
import { wrapToLines } from '../picture/text-lines.ts';
import { measureTextPx } from '../picture/text-width.ts';
import { acrossAxisShapes, ticksThatFit, tickRoomPx, upAxisShapes } from './axes.ts';
import { axisAround, extentOf, isDrawable, placeOn } from './axis-scale.ts';
import type { Box } from './chart-frame.ts';
import type { ResidualsChart } from './chart-model.ts';
import { lineHeightPx, middleToBaselinePx, prose } from './chart-sizes.ts';
import { type Canvas, emptyShapes } from './drawing.ts';
import { markShapes } from './series-marks.ts';

type Sense = ResidualsChart['senses'][number];

/** Each reading against the fit, within what the calibration states; a plot for each sense. */
export function drawResiduals(chart: ResidualsChart, canvas: Canvas): Shape[] {
  const { body, sizes } = canvas;
  const senses = chart.senses.filter(({ points }) =>
    points.some(({ torqueNm, residualNm }) => isDrawable(torqueNm) && isDrawable(residualNm)),
  );
  if (senses.length === 0)
    return emptyShapes('There is nothing to draw: no reading of this calibration is stored.', canvas);
  const series = [...new Set(senses.flatMap(({ points }) => points.map((point) => point.series)))];
  const legend = legendOf(
    series,
    senses.some(({ limits }) => limits.length > 0),
    canvas,
  );
  const area: Box = { ...body, bottomPx: body.bottomPx - legend.heightPx };
  const plots = splitBox(area, senses.length, sizes.labelPx * 1.5);
  return [
    ...senses.flatMap((sense, index) => senseShapes(sense, series, plots[index] ?? area, canvas)),
    ...legend.draw(area.bottomPx),
  ];
}

/** Beside each other where that leaves plots wider than high, else above each other. */
function splitBox(box: Box, count: number, gapPx: number): Box[] {
  const [widthPx, heightPx] = [box.rightPx - box.leftPx, box.bottomPx - box.topPx];
  const isBeside = widthPx / count > heightPx * 0.7;
  const partPx = ((isBeside ? widthPx : heightPx) - (count - 1) * gapPx) / count;
  return Array.from({ length: count }, (_, index) => {
    const from = index * (partPx + gapPx);
    return isBeside
      ? { ...box, leftPx: box.leftPx + from, rightPx: box.leftPx + from + partPx }
      : { ...box, topPx: box.topPx + from, bottomPx: box.topPx + from + partPx };
  });
}

function senseShapes(
  { label, points, limits }: Sense,
  series: readonly string[],
  box: Box,
  canvas: Canvas,
): Shape[] {
  const { sizes, colours, look } = canvas;
  const { smallPx, labelPx } = sizes;
  const linePx = lineHeightPx(smallPx);
  const perNm = fromOwnUnit(1, look.torqueUnit);
  const unit = unitLabel(look.torqueUnit);
  const drawn = points.filter(({ torqueNm, residualNm }) => isDrawable(torqueNm) && isDrawable(residualNm));
  const within = limits
    .filter(({ torqueNm, expandedNm }) => isDrawable(torqueNm) && isDrawable(expandedNm))
    .toSorted((one, other) => one.torqueNm - other.torqueNm);
  const residuals = extentOf([
    ...drawn.map(({ residualNm }) => residualNm * perNm),
    ...within.flatMap(({ expandedNm }) => [expandedNm * perNm, -expandedNm * perNm]),
  ]);
  const reach = residuals === null ? 1 : Math.max(Math.abs(residuals.min), Math.abs(residuals.max)) || 1;
  const topPx = box.topPx + lineHeightPx(labelPx) + linePx * 1.4;
  const bottomPx = box.bottomPx - linePx * 2.1;
  const scale = axisAround(
    { min: -reach, max: reach },
    { mostTicks: ticksThatFit(bottomPx - topPx, sizes, 2.6), fromZero: true },
  );
  const leftPx = box.leftPx + tickRoomPx(scale.ticks, sizes);
  const plot: Box = { leftPx, rightPx: box.rightPx - smallPx, topPx, bottomPx };
  const across = axisAround(extentOf([...drawn, ...within].map(({ torqueNm }) => torqueNm * perNm)), {
    mostTicks: Math.max(2, Math.floor((plot.rightPx - plot.leftPx) / (smallPx * 4.5))),
    fromZero: true,
  });
  const toShownX = placeOn(across, plot.leftPx, plot.rightPx);
  const toShownY = placeOn(scale, plot.bottomPx, plot.topPx);
  const at = (torqueNm: number, residualNm: number): [number, number] => [
    toShownX(torqueNm * perNm),
    toShownY(residualNm * perNm),
  ];
  const band: Shape[] =
    within.length < 2
      ? []
      : [
          {
            kind: 'area',
            pointsPx: Float64Array.from([
              ...within.flatMap(({ torqueNm, expandedNm }) => at(torqueNm, expandedNm)),
              ...within.toReversed().flatMap(({ torqueNm, expandedNm }) => at(torqueNm, -expandedNm)),
            ]),
            fill: colours.band,
            opacity: 1,
          },
        ];
  return [
    textShape(label, box.leftPx, box.topPx + labelPx, prose(labelPx, 700), colours.ink),
    textShape(
      `reading minus fit, ${unit}`,
      box.leftPx,
      topPx - smallPx * 0.7,
      prose(smallPx),
      colours.inkSoft,
    ),
    ...band,
    ...upAxisShapes(scale, plot, toShownY, { sizes, colours, hasLabels: true }),
    ...acrossAxisShapes(across.ticks, plot, toShownX, {
      sizes,
      colours,
      limits: { leftPx: box.leftPx, rightPx: box.rightPx },
    }),
    ...drawn.flatMap(({ torqueNm, residualNm, series: name }) =>
      markShapes(series.indexOf(name), ...at(torqueNm, residualNm), canvas),
    ),
    textShape(
      `torque, ${unit}`,
      plot.rightPx,
      box.bottomPx - smallPx * 0.28,
      prose(smallPx),
      colours.inkSoft,
      {
        anchor: 'end',
      },
    ),
  ];
}

/** Scattered marks have no end to be named at. */
function legendOf(series: readonly string[], hasLimits: boolean, canvas: Canvas) {
  const { sizes, colours, body } = canvas;
  const { smallPx } = sizes;
  const type = prose(smallPx);
  const linePx = lineHeightPx(smallPx) * 1.1;
  const entries = [
    ...series.map((name, index) => ({
      name,
      mark: (xPx: number, yPx: number): Shape[] => markShapes(index, xPx, yPx, canvas),
    })),
    ...(hasLimits
      ? [
          {
            name: 'expanded uncertainty of the calibration (95 %)',
            mark: (xPx: number, yPx: number): Shape[] => [
              {
                kind: 'rectangle',
                xPx: xPx - smallPx * 0.6,
                yPx: yPx - smallPx * 0.4,
                widthPx: smallPx * 1.2,
                heightPx: smallPx * 0.8,
                radiusPx: 0,
                fill: colours.band,
                stroke: solid(colours.axis, sizes.hairPx),
                opacity: 1,
              },
            ],
          },
        ]
      : []),
  ].map((entry) => {
    const [line = ''] = wrapToLines(entry.name, type, body.rightPx - body.leftPx - smallPx * 2, 1);
    return { ...entry, line, widthPx: smallPx * 1.8 + measureTextPx(line, type) };
  });
  const rows: (typeof entries)[] = [];
  let roomPx = 0;
  for (const entry of entries) {
    if (rows.length === 0 || entry.widthPx > roomPx) {
      rows.push([]);
      roomPx = body.rightPx - body.leftPx;
    }
    rows.at(-1)?.push(entry);
    roomPx -= entry.widthPx + smallPx * 1.2;
  }
  return {
    heightPx: rows.length * linePx + smallPx * 0.4,
    draw: (topPx: number): Shape[] =>
      rows.flatMap((row, index) => {
        const middlePx = topPx + smallPx * 0.4 + (index + 0.5) * linePx;
        let xPx = body.leftPx;
        return row.flatMap(({ line, mark, widthPx }) => {
          const leftPx = xPx;
          xPx += widthPx + smallPx * 1.2;
          return [
            ...mark(leftPx + smallPx * 0.6, middlePx),
            textShape(
              line,
              leftPx + smallPx * 1.8,
              middlePx + middleToBaselinePx(smallPx),
              type,
              colours.ink,
            ),
          ];
        });
      }),
  };
}
