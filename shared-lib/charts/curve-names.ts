import { type ChartColours, dashOf, mixColours } from './chart-colours.ts';
import type { CurveChart } from './chart-model.ts';
import type { ChartSizes } from './chart-sizes.ts';
import { type Curve, curveBetween, endOfCurve, meanOfCurves } from './curve-points.ts';
import type { Shape, Stroke } from '../picture/picture-model.ts';
import { lineShape, solid } from '../picture/shapes.ts';

/** All runs under one name, which are drawn alike. */
export interface NamedCurves {
  readonly name: string;
  /** Of the name in this picture, from 0. */
  readonly place: number;
  readonly colour: string;
  readonly runs: readonly Curve[];
  /** What stands for the name: its only run, or the mean where it has several. */
  readonly main: Curve;
}

/** The runs by their names in the order in which these come, cut to the times of the picture. */
export function curvesByName(
  { curves }: Pick<CurveChart, 'curves'>,
  colours: ChartColours,
  fromS: number,
  toS: number,
): NamedCurves[] {
  return [...Map.groupBy(curves, ({ label }) => label)].map(([name, group], place) => {
    const runs = group.map((curve) => curveBetween(curve, fromS, toS));
    return {
      name,
      place,
      colour: colours.curves[group[0]?.colour ?? 0] ?? colours.ink,
      runs,
      main: runs.length === 1 && runs[0] !== undefined ? runs[0] : meanOfCurves(runs, fromS, toS),
    };
  });
}

export function mainStroke({ colour, place }: NamedCurves, { thickPx }: ChartSizes): Stroke {
  return { colour, widthPx: thickPx, dashPx: dashOf(place, thickPx) };
}

/** Each run thin, and above them what stands for the name, with a dash of its own. */
export function curveShapes(
  named: NamedCurves,
  { sizes, colours }: { readonly sizes: ChartSizes; readonly colours: ChartColours },
  draw: (curve: Curve) => Float64Array,
): Shape[] {
  const thin = solid(mixColours(named.colour, colours.ground, 0.4), sizes.thinPx);
  const runs = named.runs.length > 1 ? named.runs.map((run) => lineShape(draw(run), thin)) : [];
  return [...runs, lineShape(draw(named.main), mainStroke(named, sizes))];
}

/** A curve of one value only is a dot. */
export function loneDot(
  { main, colour }: NamedCurves,
  { dotPx }: ChartSizes,
  place: (end: { readonly timeS: number; readonly torqueNm: number }) => readonly [number, number],
): Shape[] {
  const end = endOfCurve(main);
  if (end === null || main.torqueNm.filter((torque) => !Number.isNaN(torque)).length > 1) return [];
  const [xPx, yPx] = place(end);
  return [{ kind: 'circle', xPx, yPx, radiusPx: dotPx, fill: colour, stroke: null }];
}
