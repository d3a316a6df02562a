import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { readFontCharacters } from './font-characters.ts';
import fontFiles from './font-files.json' with { type: 'json' };

/**
 * The one typeface of reports, in the pieces by script that it is shipped in. The build copies its files beside the thread that writes
 * reports; run from the sources they lie in their package.
 */
const folder = import.meta.url.endsWith('.js')
  ? new URL('./report-fonts/', import.meta.url)
  : new URL('../../node_modules/@fontsource/inter/files/', import.meta.url);

const [NORMAL = 400, BOLD = 600] = fontFiles.documentWeights;

/** A piece that has some of the characters. */
export interface FontPiece {
  readonly subset: string;
  /** The name under which a document knows it. */
  readonly family: string;
  readonly characters: ReadonlySet<number>;
}

/** Latin first, so that figures and punctuation come from one piece. */
export function readFontPieces(): FontPiece[] {
  return fontFiles.subsets.map((subset) => ({
    subset,
    family: subset === 'latin' ? 'Inter' : `Inter ${subset}`,
    characters: readFontCharacters(readFileSync(fontPath(subset, NORMAL, 'woff'))),
  }));
}

/** For a PDF: files by family. */
export function documentFonts(
  pieces: readonly FontPiece[],
): Record<string, { readonly normal: string; readonly bold: string }> {
  return Object.fromEntries(
    pieces.map(({ family, subset }) => [
      family,
      { normal: fontPath(subset, NORMAL, 'woff'), bold: fontPath(subset, BOLD, 'woff') },
    ]),
  );
}

/** For a page: rules with the pieces inside that its text needs, each for the characters that it is needed for. */
export function pageFontCss(pieces: readonly FontPiece[], text: string): string {
  const wanted = new Set(Array.from(text, (character) => character.codePointAt(0) ?? 0));
  const rules: string[] = [];
  for (const [index, { subset, characters }] of pieces.entries()) {
    const own = [...wanted].filter((codePoint) => characters.has(codePoint));
    if (index > 0 && own.length === 0) continue;
    for (const codePoint of own) wanted.delete(codePoint);
    const range =
      index === 0
        ? ''
        : `unicode-range:${own
            .sort((one, other) => one - other)
            .map((codePoint) => `U+${codePoint.toString(16)}`)
            .join(',')};`;
    for (const weight of fontFiles.pageWeights) {
      const data = readFileSync(fontPath(subset, weight, 'woff2')).toString('base64');
      rules.push(
        `@font-face{font-family:Inter;font-style:normal;font-weight:${weight};${range}src:url(data:font/woff2;base64,${data}) format("woff2")}`,
      );
    }
  }
  return rules.join('\n');
}

function fontPath(subset: string, weight: number, form: 'woff' | 'woff2'): string {
  return fileURLToPath(new URL(`inter-${subset}-${weight}-normal.${form}`, folder));
}
