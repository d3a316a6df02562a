import type { CurveChart, ChartLook } from '../../../shared-lib/charts/chart-model.ts';
import { chartFormats } from '../../../shared-lib/charts/chart-model.ts';
import { drawChart } from '../../../shared-lib/charts/draw-chart.ts';
import { type PaintContext, paintPicture } from '../../picture/paint-picture.ts';

export const grounds = ['transparent', 'panel', 'solid'] as const;
export type Ground = (typeof grounds)[number];

export interface ReplayLook extends ChartLook {
  readonly ground: Ground;
}

/** Lets so much of a picture beneath through that it is still seen, and letters are still read. */
const PANEL_OPACITY = 0.84;

/** One frame of a replay at an instant from onset; the preview and every file are made by this alone. */
export function paintFrame(context: PaintContext, chart: CurveChart, look: ReplayLook, atS: number): void {
  const { ground, ...chartLook } = look;
  const { widthPx, heightPx } = chartFormats[look.format];
  context.clearRect(0, 0, widthPx, heightPx);
  const picture = drawChart(chart, chartLook, { untilS: atS, isTransparent: ground !== 'solid' });
  if (ground === 'panel') {
    context.globalAlpha = PANEL_OPACITY;
    context.fillStyle = look.theme === 'dark' ? '#101214' : '#ffffff';
    context.beginPath();
    context.roundRect(0, 0, widthPx, heightPx, Math.min(widthPx, heightPx) * 0.025);
    context.fill();
    context.globalAlpha = 1;
  }
  paintPicture(context, picture);
}
