import { type ChartColours, dashOf, mixColours } from './chart-colours.ts';
import type { CurveChart } from './chart-model.ts';
import type { ChartSizes } from './chart-sizes.ts';
import type { CurvePen } from './curve-pen.ts';
import { type Curve, curveBetween, meanOfCurves } from './curve-points.ts';
import { type Extent, extentOf, joinExtents } from './axis-scale.ts';
import type { Shape, Stroke } from '../picture/picture-model.ts';
import { lineShape, solid } from '../picture/shapes.ts';

interface Look {
  readonly sizes: ChartSizes;
  readonly colours: ChartColours;
}

/** All runs under one name, which are drawn alike. */
export interface NamedCurves {
  readonly name: string;
  /** Of the name in this picture, from 0. */
  readonly place: number;
  readonly colour: string;
  readonly runs: readonly Curve[];
  /** What stands for the name: its only run, or the mean where it has several. */
  readonly main: Curve;
  /** Of the torque of all runs; null: none has a value. */
  readonly extentNm: Extent | null;
}

/** A replay asks for the same again and again; kept as long as the chart, which is never changed. */
const known = new WeakMap<CurveChart, Map<ChartColours, NamedCurves[]>>();

/** The runs by their names in the order in which these come, cut to the times of the picture. */
export function curvesByName(
  chart: CurveChart,
  colours: ChartColours,
  fromS: number,
  toS: number,
): readonly NamedCurves[] {
  const ofChart = known.get(chart) ?? new Map<ChartColours, NamedCurves[]>();
  const before = ofChart.get(colours);
  if (before !== undefined) return before;
  const named = [...Map.groupBy(chart.curves, ({ label }) => label)].map(
    ([name, group], place): NamedCurves => {
      const runs = group.map((curve) => curveBetween(curve, fromS, toS));
      return {
        name,
        place,
        colour: colours.curves[group[0]?.colour ?? 0] ?? colours.ink,
        runs,
        main: runs.length === 1 && runs[0] !== undefined ? runs[0] : meanOfCurves(runs, fromS, toS),
        extentNm: joinExtents(...runs.map(({ torqueNm }) => extentOf(torqueNm))),
      };
    },
  );
  known.set(chart, ofChart.set(colours, named));
  return named;
}

export function mainStroke({ colour, place }: NamedCurves, { thickPx }: ChartSizes): Stroke {
  return { colour, widthPx: thickPx, dashPx: dashOf(place, thickPx) };
}

/** Each run thin, and above them what stands for the name, with a dash of its own; one of a single value is a dot. */
export function curveShapes(named: NamedCurves, { sizes, colours }: Look, pen: CurvePen): Shape[] {
  const { runs, main, colour } = named;
  const thin = solid(mixColours(colour, colours.ground, 0.4), sizes.thinPx);
  const points = pen.points(main);
  const end = points.length > 2 ? null : pen.head(main);
  return [
    ...(runs.length > 1 ? runs.map((run) => lineShape(pen.points(run), thin)) : []),
    lineShape(points, mainStroke(named, sizes)),
    ...(end === null ? [] : [dotShape(end, sizes.dotPx, colour, null)]),
  ];
}

/** Where each of some curves has come to. */
export function headShapes(
  curves: readonly Curve[],
  colour: string,
  { sizes, colours }: Look,
  pen: CurvePen,
): Shape[] {
  const edge = solid(colours.ground, sizes.hairPx);
  return curves.flatMap((curve) => {
    const end = pen.head(curve);
    return end === null ? [] : [dotShape(end, sizes.dotPx * 1.3, colour, edge)];
  });
}

function dotShape(
  at: { readonly xPx: number; readonly yPx: number },
  radiusPx: number,
  fill: string,
  stroke: Stroke | null,
): Shape {
  return { kind: 'circle', ...at, radiusPx, fill, stroke };
}
