import { measureTextPx } from '../../shared-lib/picture/text-width.ts';
import type { ReportBlock } from '../../shared-lib/report/report-model.ts';

/** What a text is set in: the room of its column and its size. */
export interface Room {
  readonly widthPt: number;
  readonly sizePt: number;
}

/** A chunk ends at such a sign rather than between two letters, where it has one in its second half. */
const GOOD_END = /[-/,:;_.]/;

/**
 * The same words, with a line break in those that are wider than their column, which would run into the next one. No letter is added or
 * lost, so that what is copied out of the document is what was written.
 */
export function fitWords(text: string, { widthPt, sizePt }: Room): string {
  const widthOf = widthsAt(sizePt);
  return text.replaceAll(/\S+/gu, (word) => {
    if (widthOf(word) <= widthPt) return word;
    const lines: string[] = [];
    let line = '';
    for (const letter of word) {
      if (line !== '' && widthOf(line + letter) > widthPt) {
        const { whole, rest } = cutWell(line);
        lines.push(whole);
        line = rest;
      }
      line += letter;
    }
    return [...lines, line].join('\n');
  });
}

function cutWell(line: string): { readonly whole: string; readonly rest: string } {
  const letters = Array.from(line);
  const end = letters.findLastIndex((letter) => GOOD_END.test(letter)) + 1;
  const at = end > letters.length / 2 ? end : letters.length;
  return { whole: letters.slice(0, at).join(''), rest: letters.slice(at).join('') };
}

/** In the bold weight, which is the wider one. */
function widthsAt(sizePt: number): (text: string) => number {
  const style = { sizePx: sizePt, weight: 600 } as const;
  const measured = new Map<string, number>();
  return (text) => {
    const known = measured.get(text) ?? measureTextPx(text, style);
    measured.set(text, known);
    return known;
  };
}

/** A word may ask for so many times the size of the type; a longer one is broken where there is no more room. */
const LONGEST_WORD_EM = 9;

interface Wishes {
  /** As wide as the longest word, within reason. */
  readonly leastPt: number;
  /** All in one line, as far as that is of use. */
  readonly mostPt: number;
}

/** Figures that are wider than so much of the page are broken all the same. */
const MOST_SHARE = 0.45;

/**
 * Widths of the columns of a table that together fill the page: each has its longest word, what is left goes to those that have the most
 * to say.
 */
export function columnWidthsPt(
  { columns, rows }: Extract<ReportBlock, { kind: 'table' }>,
  { availablePt, fontSizePt }: { readonly availablePt: number; readonly fontSizePt: number },
): number[] {
  const wishes = columns.map(({ label }, index) =>
    wishOf([label, ...rows.map((row) => row[index] ?? '')], fontSizePt, availablePt),
  );
  const least = sum(wishes.map(({ leastPt }) => leastPt));
  if (least >= availablePt) return wishes.map(({ leastPt }) => (leastPt * availablePt) / least);
  const room = availablePt - least;
  const wanted = sum(wishes.map(({ leastPt, mostPt }) => mostPt - leastPt));
  if (wanted === 0) return wishes.map(({ leastPt }) => leastPt + room / wishes.length);
  return wishes.map(({ leastPt, mostPt }) => leastPt + (room * (mostPt - leastPt)) / wanted);
}

function wishOf(cells: readonly string[], fontSizePt: number, availablePt: number): Wishes {
  const widthOf = widthsAt(fontSizePt);
  let leastPt = 0;
  let mostPt = 0;
  for (const cell of cells) {
    for (const word of cell.split(/\s/u)) leastPt = Math.max(leastPt, widthOf(word));
    for (const line of cell.split('\n')) mostPt = Math.max(mostPt, widthOf(line));
  }
  leastPt = Math.min(leastPt, fontSizePt * LONGEST_WORD_EM);
  // What rounding takes.
  const slackPt = fontSizePt * 0.4;
  return {
    leastPt: leastPt + slackPt,
    mostPt: Math.max(leastPt, Math.min(mostPt, availablePt * MOST_SHARE)) + slackPt,
  };
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
