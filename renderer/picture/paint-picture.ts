import { assertNever } from '../../shared-lib/assert-never.ts';
import type { Picture, Shape, Stroke } from '../../shared-lib/picture/picture-model.ts';
import { measureTextPx, textRuns } from '../../shared-lib/picture/text-width.ts';
import { anchorShare, PICTURE_FONT_FAMILY } from '../../shared-lib/picture/write-svg.ts';

export type PaintContext = CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D;

/**
 * Paints a picture on a canvas, one px of the picture to a unit of the context as it is transformed. Where the picture has no ground
 * the canvas is left as it is. Its fonts must be there: `loadPictureFonts`.
 */
export function paintPicture(context: PaintContext, picture: Picture): void {
  context.save();
  if (picture.ground !== null) {
    context.fillStyle = picture.ground;
    context.fillRect(0, 0, picture.widthPx, picture.heightPx);
  }
  context.lineJoin = 'round';
  context.lineCap = 'butt';
  context.textBaseline = 'alphabetic';
  context.textAlign = 'left';
  context.fontKerning = 'none';
  for (const shape of picture.shapes) paintShape(context, shape);
  context.restore();
}

function paintShape(context: PaintContext, shape: Shape): void {
  switch (shape.kind) {
    case 'line':
      if (tracePoints(context, shape.pointsPx)) paintStroke(context, shape.stroke);
      return;
    case 'area':
      if (!tracePoints(context, shape.pointsPx)) return;
      context.closePath();
      context.globalAlpha = shape.opacity;
      context.fillStyle = shape.fill;
      context.fill();
      context.globalAlpha = 1;
      return;
    case 'rectangle':
      context.beginPath();
      context.roundRect(shape.xPx, shape.yPx, shape.widthPx, shape.heightPx, shape.radiusPx);
      context.globalAlpha = shape.opacity;
      paintFilled(context, shape.fill, shape.stroke);
      context.globalAlpha = 1;
      return;
    case 'circle':
      context.beginPath();
      context.arc(shape.xPx, shape.yPx, shape.radiusPx, 0, 2 * Math.PI);
      paintFilled(context, shape.fill, shape.stroke);
      return;
    case 'text':
      paintText(context, shape);
      return;
    default:
      assertNever(shape, 'Say how this kind of shape is drawn');
  }
}

/** False: there is nothing to be seen. */
function tracePoints(context: PaintContext, pointsPx: Float64Array): boolean {
  context.beginPath();
  let isDown = false;
  let isAny = false;
  for (let place = 0; place + 1 < pointsPx.length; place += 2) {
    const [x, y] = [pointsPx[place] ?? Number.NaN, pointsPx[place + 1] ?? Number.NaN];
    if (!Number.isFinite(x) || !Number.isFinite(y)) {
      isDown = false;
      continue;
    }
    if (isDown) context.lineTo(x, y);
    else context.moveTo(x, y);
    isDown = true;
    isAny = true;
  }
  return isAny;
}

function paintFilled(context: PaintContext, fill: string | null, stroke: Stroke | null): void {
  if (fill !== null) {
    context.fillStyle = fill;
    context.fill();
  }
  if (stroke !== null) paintStroke(context, stroke);
}

function paintStroke(context: PaintContext, { colour, widthPx, dashPx }: Stroke): void {
  context.strokeStyle = colour;
  context.lineWidth = widthPx;
  context.setLineDash([...dashPx]);
  context.stroke();
}

function paintText(context: PaintContext, shape: Extract<Shape, { kind: 'text' }>): void {
  const { xPx, yPx, text, style, colour, anchor, turnedDeg } = shape;
  context.font = `${style.weight} ${style.sizePx}px ${PICTURE_FONT_FAMILY}, sans-serif`;
  context.fillStyle = colour;
  const startPx = -anchorShare[anchor] * measureTextPx(text, style);
  if (turnedDeg !== 0) context.save();
  context.translate(xPx, yPx);
  if (turnedDeg !== 0) context.rotate((turnedDeg * Math.PI) / 180);
  for (const run of textRuns(text, style)) context.fillText(run.text, startPx + run.xPx, 0);
  if (turnedDeg !== 0) context.restore();
  else context.translate(-xPx, -yPx);
}
