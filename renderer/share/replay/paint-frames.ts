import type { CurveChart, ChartLook } from '../../../shared-lib/charts/chart-model.ts';
import { chartFormats } from '../../../shared-lib/charts/chart-model.ts';
import { drawChart } from '../../../shared-lib/charts/draw-chart.ts';
import type { Picture } from '../../../shared-lib/picture/picture-model.ts';
import { type PaintContext, paintPicture } from '../../picture/paint-picture.ts';

export const grounds = ['transparent', 'panel', 'solid'] as const;
export type Ground = (typeof grounds)[number];

export interface ReplayLook extends ChartLook {
  readonly ground: Ground;
}

/** Lets so much of a picture beneath through that it is still seen, and letters are still read. */
const PANEL_OPACITY = 0.84;

/** Around everything that stands on no ground, so that it can be read over any picture; px of the picture. */
const SEAM_PX = 4;

/** One frame of a replay at an instant from onset; the preview and every file are made by this alone. */
export function paintFrame(context: PaintContext, chart: CurveChart, look: ReplayLook, atS: number): void {
  const { ground, ...chartLook } = look;
  const { widthPx, heightPx } = chartFormats[look.format];
  context.clearRect(0, 0, widthPx, heightPx);
  const picture = drawChart(chart, chartLook, { untilS: atS, isTransparent: ground !== 'solid' });
  if (ground === 'transparent') {
    paintWithSeam(context, picture, look.theme === 'dark' ? '#000000' : '#ffffff');
    return;
  }
  if (ground === 'panel') paintPanel(context, look);
  paintPicture(context, picture);
}

function paintPanel(context: PaintContext, { format, theme }: ReplayLook): void {
  const { widthPx, heightPx } = chartFormats[format];
  context.globalAlpha = PANEL_OPACITY;
  context.fillStyle = theme === 'dark' ? '#101214' : '#ffffff';
  context.beginPath();
  context.roundRect(0, 0, widthPx, heightPx, Math.min(widthPx, heightPx) * 0.025);
  context.fill();
  context.globalAlpha = 1;
}

/** Painted by itself first: a seam around each shape would lie over its neighbours, and cost as often. */
function paintWithSeam(context: PaintContext, picture: Picture, seam: string): void {
  const { width, height } = context.canvas;
  const layer = layerFor(width, height);
  const transform = context.getTransform();
  layer.setTransform(1, 0, 0, 1, 0, 0);
  layer.clearRect(0, 0, width, height);
  layer.setTransform(transform);
  paintPicture(layer, picture);
  context.save();
  context.setTransform(1, 0, 0, 1, 0, 0);
  const shadow = `drop-shadow(0 0 ${SEAM_PX * transform.a}px ${seam})`;
  context.filter = `${shadow} ${shadow}`;
  context.drawImage(layer.canvas, 0, 0);
  context.restore();
}

let newestLayer: OffscreenCanvasRenderingContext2D | null = null;

/** Kept for the next frame, which is of the same size as a rule. */
function layerFor(width: number, height: number): OffscreenCanvasRenderingContext2D {
  if (newestLayer?.canvas.width === width && newestLayer.canvas.height === height) return newestLayer;
  newestLayer = new OffscreenCanvas(width, height).getContext('2d');
  if (newestLayer === null) throw new Error('This browser gives no 2D canvas.');
  return newestLayer;
}
