import type { FontPiece } from './report-fonts.ts';

/** A text in runs, each of one piece of the typeface. */
export interface FontRun {
  readonly text: string;
  readonly family: string;
}

export interface FontRuns {
  (text: string): FontRun[];
  /** Characters so far that no piece has, each once. */
  readonly substituted: ReadonlySet<string>;
}

/** Signs that the typeface lacks and that plain ones stand for. The narrow no-break space becomes the wide one. */
const plainForms: ReadonlyMap<string, string> = new Map([
  ['\u202f', '\u00a0'],
  ['\u2009', '\u00a0'],
  ['\u2010', '-'],
  ['\u2011', '-'],
  ['\t', ' '],
  ['∞', 'inf'],
  ['→', '->'],
  ['←', '<-'],
  ['≥', '>='],
  ['≤', '<='],
  ['≈', '~'],
]);

const FORBIDDEN = /[^\P{Cc}\n]|[\ufeff\ufffe\uffff]/gu;

/**
 * Splits texts by the pieces of the typeface. A character that none has is written by its number, as [U+6771]: nothing is dropped, and
 * nobody takes an empty box for a name.
 */
export function createFontRuns(pieces: readonly FontPiece[]): FontRuns {
  const first = pieces[0]?.family ?? '';
  const substituted = new Set<string>();

  const familyOf = (character: string, before: string): string | null => {
    const codePoint = character.codePointAt(0) ?? 0;
    // A break between lines is no glyph.
    if (character === '\n') return before;
    return pieces.find(({ characters }) => characters.has(codePoint))?.family ?? null;
  };

  const runs = (text: string): FontRun[] => {
    const found: { text: string; family: string }[] = [];
    const add = (words: string, family: string): void => {
      const last = found.at(-1);
      if (last?.family === family) last.text += words;
      else found.push({ text: words, family });
    };
    for (const written of plainText(text)) {
      const plain = plainForms.get(written);
      if (plain !== undefined) {
        add(plain, first);
        continue;
      }
      const family = familyOf(written, found.at(-1)?.family ?? first);
      if (family === null) substituted.add(written);
      add(family === null ? numberOf(written) : written, family ?? first);
    }
    return found;
  };
  return Object.assign(runs, { substituted });
}

function numberOf(character: string): string {
  const codePoint = character.codePointAt(0) ?? 0;
  return `[U+${codePoint.toString(16).toUpperCase().padStart(4, '0')}]`;
}

/** Letters with their marks in one where there is such a character, and nothing that a document cannot hold. */
function plainText(text: string): string {
  return text.toWellFormed().normalize('NFC').replaceAll('\r\n', '\n').replace(FORBIDDEN, ' ');
}
