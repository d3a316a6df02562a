import type { Picture, Shape, Stroke, TextStyle } from './picture-model.ts';

type TextShape = Extract<Shape, { kind: 'text' }>;

/** A text on its baseline, beginning at x where nothing else is said. */
export function textShape(
  text: string,
  xPx: number,
  yPx: number,
  style: TextStyle,
  colour: string,
  more: Partial<Pick<TextShape, 'anchor' | 'turnedDeg'>> = {},
): TextShape {
  return { kind: 'text', text, xPx, yPx, style, colour, anchor: 'start', turnedDeg: 0, ...more };
}

/** A line through x and y by turns. */
export function lineShape(pointsPx: readonly number[] | Float64Array, stroke: Stroke): Shape {
  return { kind: 'line', pointsPx: Float64Array.from(pointsPx), stroke };
}

export function solid(colour: string, widthPx: number): Stroke {
  return { colour, widthPx, dashPx: [] };
}

/** The same on nothing, to be laid over something else. */
export function withoutGround(picture: Picture): Picture {
  return { ...picture, ground: null };
}
