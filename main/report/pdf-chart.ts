import { drawChart } from '../../shared-lib/charts/draw-chart.ts';
import type { Chart } from '../../shared-lib/charts/chart-model.ts';
import type { TorqueUnit } from '../../shared-lib/api-contract.ts';
import type { Picture, Shape } from '../../shared-lib/picture/picture-model.ts';
import { measureTextPx } from '../../shared-lib/picture/text-width.ts';
import { anchorShare, PICTURE_FONT_FAMILY, writeSvg } from '../../shared-lib/picture/write-svg.ts';
import type { FontRuns } from './font-runs.ts';

type TextShape = Extract<Shape, { kind: 'text' }>;

/**
 * A chart as the SVG of a document, in which every text has one font: what is in other scripts is drawn by its own piece of the typeface, on
 * top of the rest.
 */
export function chartForDocument(chart: Chart, torqueUnit: TorqueUnit, runsOf: FontRuns): string {
  const picture = drawChart(chart, { format: 'wide', theme: 'light', torqueUnit });
  const byFamily = new Map<string, Shape[]>();
  const add = (family: string, shape: Shape): void => {
    const shapes = byFamily.get(family) ?? [];
    shapes.push(shape);
    byFamily.set(family, shapes);
  };
  for (const shape of picture.shapes) {
    if (shape.kind !== 'text') add(PICTURE_FONT_FAMILY, shape);
    else for (const { family, piece } of splitText(shape, runsOf)) add(family, piece);
  }
  const [ours, ...others] = [...byFamily].toSorted(
    ([one], [other]) => Number(other === PICTURE_FONT_FAMILY) - Number(one === PICTURE_FONT_FAMILY),
  );
  const document = writeSvg({ ...picture, shapes: ours?.[1] ?? [] }, '');
  const layers = others.map(([family, shapes]) => layerOf(picture, family, shapes));
  return document.replace(/<\/svg>\s*$/, `${layers.join('\n')}</svg>\n`);
}

function splitText(
  shape: TextShape,
  runsOf: FontRuns,
): { readonly family: string; readonly piece: TextShape }[] {
  const runs = runsOf(shape.text);
  const [only] = runs;
  if (only !== undefined && runs.length === 1)
    return [{ family: only.family, piece: { ...shape, text: only.text } }];
  const widths = runs.map(({ text }) => measureTextPx(text, shape.style));
  const whole = widths.reduce((sum, width) => sum + width, 0);
  const turn = (shape.turnedDeg * Math.PI) / 180;
  let alongPx = -anchorShare[shape.anchor] * whole;
  return runs.map(({ text, family }, index) => {
    const piece: TextShape = {
      ...shape,
      text,
      anchor: 'start',
      xPx: shape.xPx + alongPx * Math.cos(turn),
      yPx: shape.yPx + alongPx * Math.sin(turn),
    };
    alongPx += widths[index] ?? 0;
    return { family, piece };
  });
}

/** What `writeSvg` puts around its shapes names our typeface; here it is another piece of it. */
function layerOf(picture: Picture, family: string, shapes: readonly Shape[]): string {
  const svg = writeSvg({ ...picture, ground: null, shapes }, '');
  const group = svg.slice(svg.indexOf('<g '), svg.lastIndexOf('</g>') + '</g>'.length);
  return group.replace(`font-family="${PICTURE_FONT_FAMILY}, sans-serif"`, `font-family="${family}"`);
}
