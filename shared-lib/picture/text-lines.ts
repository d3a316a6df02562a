import type { TextStyle } from './picture-model.ts';
import { measureTextPx, pictureText } from './text-width.ts';

export const ELLIPSIS = '…';
/** A cut goes back to the end of a word where this share is left. */
const LEAST_KEPT = 0.6;

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

/** As few lines as the width asks for, about equally long, so that none has a single word. */
export function wrapEvenly(text: string, style: TextStyle, widthPx: number, most: number): string[] {
  const lines = wrapToLines(text, style, widthPx, most);
  if (lines.length < 2 || lines.at(-1)?.endsWith(ELLIPSIS) === true) return lines;
  let [tooNarrow, enough] = [widthPx / lines.length / 2, widthPx];
  while (enough - tooNarrow > style.sizePx / 4) {
    const tried = (tooNarrow + enough) / 2;
    if (wrapText(text, style, tried).length <= lines.length) enough = tried;
    else tooNarrow = tried;
  }
  return wrapText(text, style, enough);
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
    const { before, after } = withoutMiddle(letters, kept, headShare);
    if (measureTextPx(before + ELLIPSIS + after, style) <= widthPx) fits = kept;
    else tooMany = kept;
  }
  const { before, after } = withoutMiddle(letters, fits, headShare);
  return upToWord(before, whole) + ELLIPSIS + fromWord(after, whole);
}

function withoutMiddle(letters: readonly string[], kept: number, headShare: number) {
  const head = Math.round(kept * headShare);
  const tail = kept - head;
  return {
    before: letters.slice(0, head).join(''),
    after: tail === 0 ? '' : letters.slice(-tail).join(''),
  };
}

/** Without the beginning of a word at the cut, where enough is left. */
function upToWord(head: string, whole: string): string {
  const isWhole = whole[head.length] === ' ' || head.endsWith(' ');
  const words = isWhole ? head : head.slice(0, head.lastIndexOf(' ') + 1);
  return (words.length >= head.length * LEAST_KEPT ? words : head).replace(/[\s,;:·–-]+$/u, '');
}

function fromWord(tail: string, whole: string): string {
  const isWhole = whole[whole.length - tail.length - 1] === ' ' || tail.startsWith(' ');
  const space = tail.indexOf(' ');
  const words = isWhole ? tail : space < 0 ? '' : tail.slice(space);
  return (words.length >= tail.length * LEAST_KEPT ? words : tail).trimStart();
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
