import type { Picture, Shape } from '../../shared-lib/picture/picture-model.ts';
import { measureTextPx } from '../../shared-lib/picture/text-width.ts';

type TextShape = Extract<Shape, { kind: 'text' }>;

export interface TextBox {
  readonly text: string;
  readonly leftPx: number;
  readonly rightPx: number;
  readonly topPx: number;
  readonly bottomPx: number;
}

/** Of the em: how far capitals stand above the baseline and letters such as g below it. */
const CAPITAL = 0.73;
const DESCENT = 0.2;

export function textsOf({ shapes }: Pick<Picture, 'shapes'>): TextShape[] {
  return shapes.filter((shape) => shape.kind === 'text' && shape.text.trim() !== '').filter(isText);
}

export function boxOf({ text, style, xPx, yPx, anchor }: TextShape): TextBox {
  const widthPx = measureTextPx(text, style);
  const leftPx = xPx - { start: 0, middle: 0.5, end: 1 }[anchor] * widthPx;
  return {
    text,
    leftPx,
    rightPx: leftPx + widthPx,
    topPx: yPx - CAPITAL * style.sizePx,
    bottomPx: yPx + DESCENT * style.sizePx,
  };
}

/** Pairs of texts that stand on each other. */
export function overlapsIn(picture: Pick<Picture, 'shapes'>): string[] {
  const boxes = textsOf(picture).map(boxOf);
  return boxes.flatMap((one, index) =>
    boxes
      .slice(index + 1)
      .filter(
        (other) =>
          Math.min(one.rightPx, other.rightPx) - Math.max(one.leftPx, other.leftPx) > 0.5 &&
          Math.min(one.bottomPx, other.bottomPx) - Math.max(one.topPx, other.topPx) > 0.5,
      )
      .map((other) => `“${one.text}” and “${other.text}”`),
  );
}

/** Texts that reach over the edge of the picture. */
export function outsideOf(picture: Picture): string[] {
  return textsOf(picture)
    .map(boxOf)
    .filter(
      ({ leftPx, rightPx, topPx, bottomPx }) =>
        !(leftPx >= -0.5 && rightPx <= picture.widthPx + 0.5 && topPx >= 0 && bottomPx <= picture.heightPx),
    )
    .map(({ text, leftPx, rightPx, topPx }) => `“${text}” at ${leftPx} to ${rightPx}, ${topPx}`);
}

function isText(shape: Shape): shape is TextShape {
  return shape.kind === 'text';
}
