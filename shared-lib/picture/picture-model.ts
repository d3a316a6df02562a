/**
 * A finished drawing in plain shapes: whoever makes it decides where everything stands, whoever shows it (SVG, a canvas, a PDF) adds
 * nothing. Lengths are px of the picture, y grows downwards, colours are `#rrggbb`.
 */
export interface Picture {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Null: transparent. */
  readonly ground: string | null;
  /** What it is and what it shows, for those who do not see it. */
  readonly title: string;
  readonly description: string;
  /** In the order of painting. */
  readonly shapes: readonly Shape[];
}

export interface Stroke {
  readonly colour: string;
  readonly widthPx: number;
  /** Lengths of strokes and gaps; empty: solid. */
  readonly dashPx: readonly number[];
}

export type FontWeight = 400 | 600 | 700;
/** In the one typeface that is shipped. */
export interface TextStyle {
  readonly sizePx: number;
  readonly weight: FontWeight;
  /** Figures with the widths they have in a sentence; else all are equally wide, as numbers need that change or stand in columns. */
  readonly isProse?: boolean;
}

export type Shape =
  | {
      readonly kind: 'line';
      /** x and y by turns; NaN lifts the pen. */
      readonly pointsPx: Float64Array;
      readonly stroke: Stroke;
    }
  | {
      readonly kind: 'area';
      readonly pointsPx: Float64Array;
      readonly fill: string;
      readonly opacity: number;
    }
  | {
      readonly kind: 'rectangle';
      readonly xPx: number;
      readonly yPx: number;
      readonly widthPx: number;
      readonly heightPx: number;
      readonly radiusPx: number;
      readonly fill: string | null;
      readonly stroke: Stroke | null;
      readonly opacity: number;
    }
  | {
      readonly kind: 'circle';
      readonly xPx: number;
      readonly yPx: number;
      readonly radiusPx: number;
      readonly fill: string | null;
      readonly stroke: Stroke | null;
    }
  | {
      readonly kind: 'text';
      readonly xPx: number;
      /** Of the baseline. */
      readonly yPx: number;
      readonly text: string;
      readonly style: TextStyle;
      readonly colour: string;
      readonly anchor: 'start' | 'middle' | 'end';
      /** About its own point, clockwise. */
      readonly turnedDeg: number;
    };
