import { formatTorque, fromOwnUnit, unitLabel } from '../format-quantity.ts';
import type { Shape } from '../picture/picture-model.ts';
import { lineShape, solid, textShape } from '../picture/shapes.ts';
import { measureTextPx } from '../picture/text-width.ts';
import { acrossAxisShapes, ticksThatFit, tickRoomPx, upAxisShapes, widestTickPx } from './axes.ts';
import { type AxisScale, axisAround, axisBetween, extentOf, joinExtents, placeOn } from './axis-scale.ts';
import type { Box } from './chart-frame.ts';
import type { CurveChart } from './chart-model.ts';
import { lineHeightPx, prose, style } from './chart-sizes.ts';
import { type NamedCurves, curveShapes, curvesByName, headShapes, mainStroke } from './curve-names.ts';
import { createCurvePen } from './curve-pen.ts';
import { endOfCurve } from './curve-points.ts';
import { checkpointShapes, checkpointStrip, stripUntil } from './checkpoint-strip.ts';
import { drawCurvePanels } from './draw-curve-panels.ts';
import { type Canvas, emptyShapes, levelWords } from './drawing.ts';
import { columnWidthPx, type EndLabel, endLabelShapes, legendShapes } from './end-labels.ts';
import { nameLines } from './name-lines.ts';
import { decimalsForCurves } from './torque-decimals.ts';

/** Names in one plot; more are small multiples. */
const MOST_NAMES = 5;
/** Before onset, as a share of the planned time; after it torque falls, which no label of an end may point at. */
const LEAD_IN = 0.04;
/** A plot that is lower shows nothing; then what stands above it goes. In the size of the small type. */
const LEAST_PLOT_EM = 5;
const TIME_UNIT = 'time from onset, s';
/** Of the picture's width, for names beside the plot. */
const columnShares = { wide: 0.22, print: 0.22, square: 0.29, upright: 0.29 } as const;

/** Torque over time from onset; `untilS` null: the whole. */
export function drawCurves(chart: CurveChart, canvas: Canvas, untilS: number | null): Shape[] {
  const [fromS, toS] = timesOf(chart);
  const named = curvesByName(chart, canvas.colours, fromS, toS);
  if (named.every(({ main, runs }) => [main, ...runs].every((curve) => endOfCurve(curve) === null))) {
    return emptyShapes('There is no curve to draw: no run has a torque in the time shown.', canvas);
  }
  const shownPerNm = fromOwnUnit(1, canvas.look.torqueUnit);
  const up = (mostTicks: number): AxisScale => upAxis(chart, named, shownPerNm, mostTicks);
  const decimals = decimalsForCurves(chart, canvas.look.torqueUnit);
  return named.length > MOST_NAMES
    ? drawCurvePanels({ named, fromS, toS, up, shownPerNm, untilS, levels: chart.levels }, canvas)
    : drawOnePlot({ chart, named, fromS, toS, up, shownPerNm, untilS, decimals }, canvas);
}

function timesOf({ plannedS }: CurveChart): [number, number] {
  return [-LEAD_IN * plannedS, plannedS];
}

function upAxis(
  { levels }: CurveChart,
  named: readonly NamedCurves[],
  shownPerNm: number,
  mostTicks: number,
): AxisScale {
  const extents = named.map(({ extentNm }) => extentNm);
  const all = joinExtents(...extents, extentOf(levels.map(({ torqueNm }) => torqueNm)));
  return axisAround(all === null ? null : { min: all.min * shownPerNm, max: all.max * shownPerNm }, {
    mostTicks,
    fromZero: true,
  });
}

interface OnePlot {
  readonly chart: CurveChart;
  readonly named: readonly NamedCurves[];
  readonly fromS: number;
  readonly toS: number;
  readonly up: (mostTicks: number) => AxisScale;
  readonly shownPerNm: number;
  readonly untilS: number | null;
  /** Of the torque of the moment. */
  readonly decimals: number;
}

function drawOnePlot(request: OnePlot, canvas: Canvas): Shape[] {
  // Names beside the plot are read at once; a legend has to be looked up, so it comes last.
  for (const mostLines of [3, 2, 1]) {
    const plot = plotWith({ ...request, mostLines, typePx: canvas.sizes.labelPx, legendPx: 0 }, canvas);
    if (plot !== null) return plot;
  }
  return plotWithLegend({ ...request, mostLines: 1, typePx: canvas.sizes.smallPx }, canvas);
}

interface PlotRequest extends OnePlot {
  /** Of a name. */
  readonly mostLines: number;
  readonly typePx: number;
  /** Height below the plot that a legend takes instead of the column beside it; 0: no legend. */
  readonly legendPx: number;
}

function plotWithLegend(request: Omit<PlotRequest, 'legendPx'>, canvas: Canvas): Shape[] {
  const { body, sizes } = canvas;
  const labels = labelsOf(request, canvas, () => null, (body.rightPx - body.leftPx) * 0.45);
  const { heightPx } = legendShapes(labels, body, sizes);
  return plotWith({ ...request, legendPx: heightPx + sizes.smallPx }, canvas) ?? [];
}

/** Null: the labels have no room beside the plot. */
function plotWith(request: PlotRequest, canvas: Canvas): Shape[] | null {
  const { chart, named, fromS, toS, up, shownPerNm, legendPx, untilS, decimals } = request;
  const { sizes, colours, body, look } = canvas;
  const { smallPx, widthPx } = sizes;
  const across = axisBetween(0, chart.plannedS, 10);
  const unit = `torque, ${unitLabel(look.torqueUnit)}`;
  const linePx = lineHeightPx(smallPx);
  const topPx = body.topPx + linePx + smallPx * 0.6;
  const unitRightPx = body.leftPx + measureTextPx(unit, style(smallPx, 600)) + smallPx;
  // How many ticks there are decides on where the plot begins, and so on whether the time's unit has room beside their labels.
  const scale = up(ticksThatFit(body.bottomPx - 2 * linePx - legendPx - topPx, sizes, 2.4));
  const mostPx = legendPx > 0 ? (body.rightPx - body.leftPx) * 0.45 : widthPx * columnShares[look.format];
  const unplaced = labelsOf(request, canvas, () => null, mostPx);
  // The torque of the moment has as many figures as it will ever have.
  const widest = {
    lines: [scale.min, scale.max].map((end) => formatTorque(end / shownPerNm, look.torqueUnit, decimals)),
    style: style(sizes.labelPx, 600),
  };
  const columnPx =
    legendPx > 0 ? smallPx : columnWidthPx(untilS === null ? unplaced : [...unplaced, widest], sizes);
  const leftPx = body.leftPx + tickRoomPx(scale.ticks, sizes);
  const rightPx = body.rightPx - columnPx;
  const toX = placeOn({ min: fromS, max: toS }, leftPx, rightPx);
  const isTimeBeside =
    columnPx >= measureTextPx(TIME_UNIT, style(smallPx)) + widestTickPx(across.ticks, sizes) / 2 + smallPx;
  const bottomPx = body.bottomPx - (isTimeBeside ? 1 : 2) * linePx - legendPx;
  const asked = checkpointStrip(
    chart.checkpoints,
    toX,
    { leftPx, rightPx },
    { leftPx: Math.max(leftPx, unitRightPx), rightPx: body.rightPx },
    sizes,
  );
  // The unit stands in the first row of the strip, left of it.
  const stripTopPx = Math.max(topPx, body.topPx + asked.heightPx);
  const strip = bottomPx - stripTopPx >= LEAST_PLOT_EM * smallPx ? asked : { entries: [], heightPx: 0 };
  const plot: Box = { leftPx, rightPx, topPx: Math.max(topPx, body.topPx + strip.heightPx), bottomPx };
  const toShownY = placeOn(scale, plot.bottomPx, plot.topPx);
  const pen = createCurvePen({ plot, fromS, toS, scale, shownPerNm, untilS });
  const { toY } = pen;

  const labels = labelsOf(
    request,
    canvas,
    (label) => ({ xPx: toX(label.timeS), yPx: toY(label.torqueNm) }),
    mostPx,
  );
  const beside =
    legendPx > 0
      ? legendShapes(labels, { ...body, topPx: body.bottomPx - legendPx + smallPx * 0.5 }, sizes).shapes
      : endLabelShapes(labels, { ...plot, leftPx: rightPx, rightPx: body.rightPx }, canvas);
  if (beside === null) return null;
  return [
    ...upAxisShapes(scale, plot, toShownY, { sizes, colours, hasLabels: true }),
    ...acrossAxisShapes(across.ticks, plot, toX, {
      sizes,
      colours,
      limits: { leftPx: body.leftPx, rightPx: body.rightPx },
    }),
    lineShape([toX(0), plot.topPx, toX(0), plot.bottomPx], solid(colours.axis, sizes.hairPx)),
    textShape(unit, body.leftPx, body.topPx + smallPx, style(smallPx, 600), colours.ink),
    textShape(
      TIME_UNIT,
      isTimeBeside ? body.rightPx : rightPx,
      bottomPx + (isTimeBeside ? 1 : 2) * linePx,
      style(smallPx),
      colours.inkSoft,
      { anchor: 'end' },
    ),
    // What is told apart later on is not told before.
    ...checkpointShapes(untilS === null ? strip : stripUntil(strip, toX(untilS)), plot, canvas),
    ...chart.levels.map(({ torqueNm }) =>
      lineShape([plot.leftPx, toY(torqueNm), plot.rightPx, toY(torqueNm)], levelStroke(canvas)),
    ),
    ...named.flatMap((one) => [
      ...curveShapes(one, canvas, pen),
      ...(untilS === null ? [] : headShapes(one.runs, one.colour, canvas, pen)),
    ]),
    ...beside,
  ];
}

function levelStroke({ sizes, colours }: Canvas) {
  return { colour: colours.inkSoft, widthPx: sizes.hairPx, dashPx: [6 * sizes.hairPx, 3 * sizes.hairPx] };
}

/** Names of the curves and of the levels; of a replay with the torque of the moment. */
function labelsOf(
  { chart, named, toS, untilS, decimals, mostLines, typePx }: Omit<PlotRequest, 'legendPx'>,
  canvas: Canvas,
  place: (end: { readonly timeS: number; readonly torqueNm: number }) => EndLabel['end'],
  mostPx: number,
): EndLabel[] {
  const { sizes, colours, look } = canvas;
  const textPx = mostPx - sizes.labelPx * 3.4;
  const ofCurves = untilS === null ? prose(typePx, 600) : style(typePx, 600);
  const ofLevels = prose(sizes.smallPx);
  const names = nameLines(
    named.map(({ name }) => name),
    ofCurves,
    textPx,
    mostLines,
  );
  const levels = nameLines(
    chart.levels.map(({ label, torqueNm }) => levelWords(label, torqueNm, 'torque', look.torqueUnit)),
    ofLevels,
    textPx,
    Math.min(mostLines, 2),
  );
  return [
    ...named.map((one, index): EndLabel => {
      const end = endOfCurve(one.main, untilS ?? toS);
      const value =
        untilS === null
          ? []
          : [end === null ? '\u2013' : formatTorque(end.torqueNm, look.torqueUnit, decimals)];
      return {
        lines: [...(names[index] ?? [one.name]), ...value],
        style: ofCurves,
        colour: colours.ink,
        sample: mainStroke(one, sizes),
        end: end === null ? null : place(end),
        hasLeader: untilS === null,
      };
    }),
    ...chart.levels.map(({ torqueNm }, index): EndLabel => ({
      lines: levels[index] ?? [],
      style: ofLevels,
      colour: colours.inkSoft,
      sample: levelStroke(canvas),
      end: place({ timeS: toS, torqueNm }),
      hasLeader: true,
    })),
  ];
}
