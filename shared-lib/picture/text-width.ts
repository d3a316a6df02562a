import { FONT_UNITS_PER_EM, figureAdvances, fontAdvances } from './font-widths.ts';
import type { FontWeight, TextStyle } from './picture-model.ts';

/** A piece of a text that is drawn in one go: a single figure in its cell, or what stands between figures. */
export interface TextRun {
  readonly text: string;
  /** Of its first glyph, from the beginning of the text. */
  readonly xPx: number;
}

/** Of the em: letters that the shipped font lacks come from another one, and are taken for wide. */
const UNKNOWN_EM = 0.8;
const WIDE_EM = 1;
/** From here on most letters of foreign scripts and pictograms are as wide as they are high. */
const WIDE_FROM = 0x1100;
const JOINERS = /^[\p{M}\u200b-\u200f\u2060\ufe00-\ufe0f\ufeff]$/u;

const advanceMaps = {
  400: readAdvances(400),
  600: readAdvances(600),
  700: readAdvances(700),
} as const satisfies Record<FontWeight, ReadonlyMap<number, number>>;

/**
 * How wide a text stands in the shipped typeface, in px, without kerning; figures in cells of one width unless it is prose. From a table, so that a layout is
 * the same wherever it is made.
 */
export function measureTextPx(text: string, style: TextStyle): number {
  let units = 0;
  for (const character of pictureText(text)) units += advanceUnits(character, style);
  return (units * style.sizePx) / FONT_UNITS_PER_EM;
}

/** The text in pieces with their places; each figure stands in the middle of its cell. */
export function textRuns(text: string, style: TextStyle): TextRun[] {
  const runs: { text: string; xPx: number }[] = [];
  const pxPerUnit = style.sizePx / FONT_UNITS_PER_EM;
  let units = 0;
  let isAfterFigure = true;
  for (const character of pictureText(text)) {
    const cell = advanceUnits(character, style);
    const last = runs.at(-1);
    if (hasCell(character, style)) {
      const own = advanceMaps[style.weight].get(character.charCodeAt(0)) ?? cell;
      runs.push({ text: character, xPx: (units + (cell - own) / 2) * pxPerUnit });
      isAfterFigure = true;
    } else if (last === undefined || (isAfterFigure && cell > 0)) {
      runs.push({ text: character, xPx: units * pxPerUnit });
      isAfterFigure = false;
    } else {
      last.text += character;
    }
    units += cell;
  }
  return runs;
}

/**
 * What of a text can stand in a picture: the narrow no-break space, which the typeface lacks, as a thin space; line breaks and tabs as
 * spaces; nothing that XML forbids.
 */
export function pictureText(text: string): string {
  return text
    .toWellFormed()
    .replace(/[\u202f\u2009]/g, '\u2009')
    .replace(/[ \t\r\n\v\f\u2028\u2029]+/g, ' ')
    .replace(/[\p{Cc}\ufffe\uffff]/gu, '');
}

function advanceUnits(character: string, style: TextStyle): number {
  const { weight } = style;
  if (hasCell(character, style)) return figureAdvances[weight];
  if (JOINERS.test(character)) return 0;
  const codePoint = character.codePointAt(0) ?? 0;
  const known = advanceMaps[weight].get(codePoint);
  return known ?? FONT_UNITS_PER_EM * (codePoint >= WIDE_FROM ? WIDE_EM : UNKNOWN_EM);
}

function hasCell(character: string, { isProse }: TextStyle): boolean {
  return isProse !== true && character >= '0' && character <= '9' && character.length === 1;
}

function readAdvances(weight: FontWeight): ReadonlyMap<number, number> {
  return new Map(
    fontAdvances[weight].flatMap(([first, ...advances]) =>
      advances.map((advance, place): [number, number] => [first + place, advance]),
    ),
  );
}
