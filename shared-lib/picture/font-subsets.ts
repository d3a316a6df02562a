import type { FontWeight, Picture } from './picture-model.ts';
import { pictureText } from './text-width.ts';

/** The files of the typeface by script, in the order in which they are asked, and the code points of each. */
const ranges = {
  latin:
    'U+0000-00FF,U+0131,U+0152-0153,U+02BB-02BC,U+02C6,U+02DA,U+02DC,U+0304,U+0308,U+0329,U+2000-206F,U+20AC,U+2122,U+2191,U+2193,U+2212,U+2215,U+FEFF,U+FFFD',
  'latin-ext':
    'U+0100-02BA,U+02BD-02C5,U+02C7-02CC,U+02CE-02D7,U+02DD-02FF,U+0304,U+0308,U+0329,U+1D00-1DBF,U+1E00-1E9F,U+1EF2-1EFF,U+2020,U+20A0-20AB,U+20AD-20C0,U+2113,U+2C60-2C7F,U+A720-A7FF',
  greek: 'U+0370-0377,U+037A-037F,U+0384-038A,U+038C,U+038E-03A1,U+03A3-03FF',
  cyrillic: 'U+0301,U+0400-045F,U+0490-0491,U+04B0-04B1,U+2116',
  vietnamese:
    'U+0102-0103,U+0110-0111,U+0128-0129,U+0168-0169,U+01A0-01A1,U+01AF-01B0,U+0300-0301,U+0303-0304,U+0308-0309,U+0323,U+0329,U+1EA0-1EF9,U+20AB',
} as const satisfies Record<string, string>;

export type FontSubset = keyof typeof ranges;
export const fontSubsets = Object.keys(ranges).filter(isFontSubset);

/** One file of the typeface. */
export interface FontPart {
  readonly subset: FontSubset;
  readonly weight: FontWeight;
}

/** The files that a picture's texts need; characters that none of them has come from other fonts. */
export function fontPartsOf({ shapes }: Pick<Picture, 'shapes'>): FontPart[] {
  const texts = new Map<FontWeight, Set<number>>();
  for (const shape of shapes) {
    if (shape.kind !== 'text') continue;
    const known = texts.get(shape.style.weight) ?? new Set<number>();
    for (const character of pictureText(shape.text)) known.add(character.codePointAt(0) ?? 0);
    texts.set(shape.style.weight, known);
  }
  return [...texts]
    .toSorted(([one], [other]) => one - other)
    .flatMap(([weight, codePoints]) =>
      fontSubsets
        .filter((subset) => [...codePoints].some((codePoint) => isIn(subset, codePoint)))
        .map((subset) => ({ subset, weight })),
    );
}

/** A rule for one file as data. `format`: as in CSS, 'woff2' or 'woff'. */
export function fontFace({ subset, weight }: FontPart, format: 'woff2' | 'woff', base64: string): string {
  return `@font-face{font-family:Inter;font-style:normal;font-weight:${weight};src:url(data:font/${format};base64,${base64}) format("${format}");unicode-range:${ranges[subset]}}`;
}

function isIn(subset: FontSubset, codePoint: number): boolean {
  return limits[subset].some(([first, last]) => codePoint >= first && codePoint <= last);
}

function isFontSubset(name: string): name is FontSubset {
  return name in ranges;
}

const limits = {
  latin: readRanges(ranges.latin),
  'latin-ext': readRanges(ranges['latin-ext']),
  greek: readRanges(ranges.greek),
  cyrillic: readRanges(ranges.cyrillic),
  vietnamese: readRanges(ranges.vietnamese),
} as const satisfies Record<FontSubset, readonly (readonly [number, number])[]>;

function readRanges(css: string): [number, number][] {
  return css.split(',').map((range) => {
    const [first = '', last = first] = range.slice(2).split('-');
    return [Number.parseInt(first, 16), Number.parseInt(last, 16)];
  });
}
