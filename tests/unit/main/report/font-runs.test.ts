import { describe, expect, it } from 'vitest';
import { createFontRuns } from '../../../../main/report/font-runs.ts';
import { pageFontCss, readFontPieces } from '../../../../main/report/report-fonts.ts';

const pieces = readFontPieces();

describe('the pieces of the shipped typeface', () => {
  it('have the letters that their names promise, and Latin the figures', () => {
    const has = (subset: string, text: string) =>
      Array.from(text).every((character) =>
        pieces.find((piece) => piece.subset === subset)?.characters.has(character.codePointAt(0) ?? 0),
      );
    expect(has('latin', 'Abc 0123456789 é ü ß · − – ± × “” ’ … ° µ')).toBe(true);
    expect(has('cyrillic', 'Жуковский')).toBe(true);
    expect(has('greek', 'τΔΩ')).toBe(true);
    expect(has('latin-ext', 'łőş')).toBe(true);
    expect(has('latin', 'Ж')).toBe(false);
  });

  it('come into a page only where its text has need of them', () => {
    const latin = pageFontCss(pieces, 'Hollin H5');
    expect(latin.match(/@font-face/g)).toHaveLength(3);
    const mixed = pageFontCss(pieces, 'Hollin H5, Жук');
    expect(mixed.match(/@font-face/g)).toHaveLength(6);
    expect(mixed).toContain('unicode-range:U+416,U+43a,U+443');
    expect(mixed).not.toMatch(/url\((?!data:font\/woff2;base64,)/);
  });
});

describe('a text for a document', () => {
  it('is one run where one piece has all of it', () => {
    expect(createFontRuns(pieces)('412.3 N·m')).toEqual([{ text: '412.3 N·m', family: 'Inter' }]);
  });

  it('takes other scripts from their own pieces, in the order of the text', () => {
    const runs = createFontRuns(pieces)('Tool Жук τ');
    expect(runs.map(({ text }) => text).join('')).toBe('Tool Жук τ');
    expect(runs.map(({ family }) => family)).toEqual(['Inter', 'Inter cyrillic', 'Inter', 'Inter greek']);
  });

  it('writes what no piece has by its number, drops nothing, and remembers that it did', () => {
    const runsOf = createFontRuns(pieces);
    const written = runsOf('Tool 東京 😀')
      .map(({ text }) => text)
      .join('');
    expect(written).toBe('Tool [U+6771][U+4EAC] [U+1F600]');
    expect([...runsOf.substituted]).toEqual(['東', '京', '😀']);
  });

  it('keeps a number with its unit, joins marks to their letters, and has plain forms for a few signs', () => {
    const runsOf = createFontRuns(pieces);
    const written = (text: string) =>
      runsOf(text)
        .map((run) => run.text)
        .join('');
    expect(written('5\u202fs')).toBe('5\u00a0s');
    expect(written('u\u0308')).toBe('ü');
    expect(written('T∞ → ≥')).toBe('Tinf -> >=');
    expect(runsOf.substituted.size).toBe(0);
  });

  it('survives half a pair of surrogates and characters that control nothing here', () => {
    const written = createFontRuns(pieces)('a\ud800b\u0007c')
      .map(({ text }) => text)
      .join('');
    expect(written).toBe('a[U+FFFD]b c');
  });
});
