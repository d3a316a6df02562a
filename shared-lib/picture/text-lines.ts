import type { TextStyle } from './picture-model.ts';
import { measureTextPx, pictureText } from './text-width.ts';

export const ELLIPSIS = '…';

/** As many of a text's words as fit beside each other; a word that is too long for a line is broken. Never empty. */
export function wrapText(text: string, style: TextStyle, widthPx: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of pictureText(text).trim().split(' ')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (measureTextPx(longer, style) <= widthPx) {
      line = longer;
      continue;
    }
    if (line !== '') lines.push(line);
    const pieces = breakWord(word, style, widthPx);
    lines.push(...pieces.slice(0, -1));
    line = pieces.at(-1) ?? '';
  }
  return [...lines, line];
}

/** The same in at most so many lines; what is too much ends in an ellipsis. */
export function wrapToLines(text: string, style: TextStyle, widthPx: number, most: number): string[] {
  const lines = wrapText(text, style, widthPx);
  if (lines.length <= most) return lines;
  const kept = lines.slice(0, most);
  const rest = lines.slice(most - 1).join(' ');
  return [...kept.slice(0, -1), cutEnd(rest, style, widthPx)];
}

/** The beginning of a text with an ellipsis, or the whole where it fits. */
export function cutEnd(text: string, style: TextStyle, widthPx: number): string {
  return cutMiddle(text, style, widthPx, 1);
}

/**
 * Leaves out of the middle what is too much, since names often differ in their ends. `headShare`: how much of what is kept stands
 * before the ellipsis, 0 to 1.
 */
export function cutMiddle(text: string, style: TextStyle, widthPx: number, headShare: number): string {
  const whole = pictureText(text).trim();
  if (measureTextPx(whole, style) <= widthPx) return whole;
  const letters = clusters(whole);
  let [fits, tooMany] = [0, letters.length];
  while (tooMany - fits > 1) {
    const kept = (fits + tooMany) >> 1;
    if (measureTextPx(withoutMiddle(letters, kept, headShare), style) <= widthPx) fits = kept;
    else tooMany = kept;
  }
  return fits === 0 ? ELLIPSIS : withoutMiddle(letters, fits, headShare);
}

function withoutMiddle(letters: readonly string[], kept: number, headShare: number): string {
  const head = Math.round(kept * headShare);
  const tail = kept - head;
  const before = letters.slice(0, head).join('').trimEnd();
  const after = tail === 0 ? '' : letters.slice(-tail).join('').trimStart();
  return before + ELLIPSIS + after;
}

function breakWord(word: string, style: TextStyle, widthPx: number): string[] {
  const pieces: string[] = [];
  let piece = '';
  for (const letter of clusters(word)) {
    if (piece !== '' && measureTextPx(piece + letter, style) > widthPx) {
      pieces.push(piece);
      piece = '';
    }
    piece += letter;
  }
  return [...pieces, piece];
}

/** Letters with the marks that belong to them. */
function clusters(text: string): string[] {
  return text.match(/\P{M}\p{M}*|\p{M}+/gu) ?? [];
}
