import { assertNever } from '../assert-never.ts';
import type { Picture, Shape } from '../picture/picture-model.ts';
import { coloursOf } from './chart-colours.ts';
import { frameOf } from './chart-frame.ts';
import type { Chart, ChartLook } from './chart-model.ts';
import { sizesOf } from './chart-sizes.ts';
import { describeChart } from './describe-chart.ts';
import type { Canvas } from './drawing.ts';
import { drawCurves } from './draw-curves.ts';
import { drawMeans } from './draw-means.ts';
import { drawPlaces } from './draw-places.ts';
import { drawResiduals } from './draw-residuals.ts';

export interface DrawingOptions {
  /** A chart of curves up to this time from onset, each curve's head marked. */
  readonly untilS?: number;
  /** Without a ground, to be laid over something else. */
  readonly isTransparent?: boolean;
}

/** The one drawing of a chart; the window's canvas, SVG, PNG, video and PDF all show it. */
export function drawChart(chart: Chart, look: ChartLook, options: DrawingOptions = {}): Picture {
  const sizes = sizesOf(look.format);
  const colours = coloursOf(look.theme);
  const frame = frameOf(chart, sizes, colours);
  const canvas: Canvas = { sizes, colours, body: frame.body, look };
  return {
    widthPx: sizes.widthPx,
    heightPx: sizes.heightPx,
    ground: options.isTransparent === true ? null : colours.ground,
    title: chart.title,
    description: describeChart(chart, look.torqueUnit),
    shapes: [...frame.shapes, ...bodyOf(chart, canvas, options)],
  };
}

function bodyOf(chart: Chart, canvas: Canvas, { untilS }: DrawingOptions): Shape[] {
  switch (chart.kind) {
    case 'curves':
      return drawCurves(chart, canvas, untilS ?? null);
    case 'means':
      return drawMeans(chart, canvas);
    case 'places':
      return drawPlaces(chart, canvas);
    case 'residuals':
      return drawResiduals(chart, canvas);
    default:
      return assertNever(chart, 'Say how this kind of chart is drawn and described');
  }
}
