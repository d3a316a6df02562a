import { chartFormats, type ChartLook } from './chart-model.ts';
import type { FontWeight, TextStyle } from '../picture/picture-model.ts';

/** Lengths of one format, px. */
export interface ChartSizes {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly marginPx: number;
  readonly titlePx: number;
  readonly subtitlePx: number;
  /** Names of curves and rows. */
  readonly labelPx: number;
  /** Ticks, units and notes: nothing is smaller. */
  readonly smallPx: number;
  readonly hairPx: number;
  readonly thinPx: number;
  readonly thickPx: number;
  readonly dotPx: number;
}

/** For a phone, where the shorter side is some 65 mm wide: 26 of 1080 px are 1.6 mm of type, 2.4 % of the side. */
const screen = {
  marginPx: 48,
  titlePx: 50,
  subtitlePx: 32,
  labelPx: 30,
  smallPx: 26,
  hairPx: 2,
  thinPx: 2.5,
  thickPx: 6,
  dotPx: 8,
} as const;
/** A square one has the height of a wide one for lines that are hardly more than half as long, so its type is as small as a phone allows. */
const square = {
  ...screen,
  marginPx: 36,
  titlePx: 42,
  subtitlePx: 27,
  labelPx: 27,
  smallPx: 24,
} as const;
/** At 300 dpi: 9 pt are 37.5 px. */
const print = {
  marginPx: 140,
  titlePx: 84,
  subtitlePx: 52,
  labelPx: 48,
  smallPx: 38,
  hairPx: 3,
  thinPx: 4,
  thickPx: 10,
  dotPx: 13,
} as const;

export function sizesOf(format: ChartLook['format']): ChartSizes {
  const lengths = format === 'print' ? print : format === 'square' ? square : screen;
  return { ...chartFormats[format], ...lengths };
}

export function style(sizePx: number, weight: FontWeight = 400): TextStyle {
  return { sizePx, weight };
}

/** For names and sentences. */
export function prose(sizePx: number, weight: FontWeight = 400): TextStyle {
  return { sizePx, weight, isProse: true };
}

/** From one baseline to the next. */
export function lineHeightPx(sizePx: number): number {
  return Math.round(sizePx * 1.28);
}

/** From the middle of small letters and figures down to the baseline: the typeface's capitals are 0.727 em high. */
export function middleToBaselinePx(sizePx: number): number {
  return sizePx * 0.364;
}
