import type { TextStyle } from '../picture/picture-model.ts';
import { cutMiddle, wrapText } from '../picture/text-lines.ts';
import { measureTextPx } from '../picture/text-width.ts';

/** How much of a shortened name stands before the ellipsis, the first that keeps all names apart. */
const headShares = [0.6, 0.35, 0.8, 0, 1] as const;

/**
 * Names in at most so many lines of a width. What is too long loses its middle, in such a way that two names stay two; where nothing
 * keeps them apart, they are numbered.
 */
export function nameLines(
  names: readonly string[],
  style: TextStyle,
  widthPx: number,
  mostLines: number,
): string[][] {
  for (const share of headShares) {
    const lines = names.map((name) => linesOf(name, style, widthPx, mostLines, share));
    if (areApart(names, lines)) return lines;
  }
  return names.map((name, index) => {
    const mark = ` (${index + 1})`;
    const room = Math.max(widthPx - measureTextPx(mark, style), widthPx / 2);
    const lines = linesOf(name, style, room, mostLines, 1);
    return lines.map((line, place) => (place === lines.length - 1 ? line + mark : line));
  });
}

function linesOf(
  name: string,
  style: TextStyle,
  widthPx: number,
  mostLines: number,
  headShare: number,
): string[] {
  const lines = wrapText(name, style, widthPx);
  if (lines.length <= mostLines) return lines;
  // What fits into all lines at once, broken anew; breaking between words takes some of the room.
  for (let share = mostLines; share > mostLines - 1; share -= 0.1) {
    const shortened = wrapText(cutMiddle(name, style, widthPx * share, headShare), style, widthPx);
    if (shortened.length <= mostLines) return shortened;
  }
  return [cutMiddle(name, style, widthPx, headShare)];
}

function areApart(names: readonly string[], lines: readonly (readonly string[])[]): boolean {
  const shown = new Set(lines.map((ofName) => ofName.join(' ')));
  return shown.size >= new Set(names).size;
}
