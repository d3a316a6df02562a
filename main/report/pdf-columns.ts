import { measureTextPx } from '../../shared-lib/picture/text-width.ts';
import type { ReportBlock } from '../../shared-lib/report/report-model.ts';

/** Letters of a word that may stand without a break, and how often a longer one may break. */
const LONGEST_WORD = 18;
const PIECE = 6;
/** An invisible place to break at, which the typeface has. */
const BREAK = '\u200b';

/** The same words, with places to break at in those that no column would hold. Identities break at their dashes by themselves. */
export function breakable(text: string): string {
  return text.replaceAll(/[^\s-]{19,}/gu, (word) => {
    const letters = Array.from(word);
    if (letters.length <= LONGEST_WORD) return word;
    const pieces: string[] = [];
    for (let at = 0; at < letters.length; at += PIECE) pieces.push(letters.slice(at, at + PIECE).join(''));
    return pieces.join(BREAK);
  });
}

interface Wishes {
  /** As wide as the longest word that cannot be broken. */
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
  const style = { sizePx: fontSizePt, weight: 600 } as const;
  const measured = new Map<string, number>();
  const widthOf = (text: string): number => {
    const known = measured.get(text) ?? measureTextPx(text, style);
    measured.set(text, known);
    return known;
  };
  let leastPt = 0;
  let mostPt = 0;
  for (const cell of cells) {
    for (const word of breakable(cell).split(/[\s\u200b-]/u)) leastPt = Math.max(leastPt, widthOf(word));
    for (const line of cell.split('\n')) mostPt = Math.max(mostPt, widthOf(line));
  }
  // A dash at the break and what rounding takes.
  const slackPt = fontSizePt * 0.6;
  return {
    leastPt: leastPt + slackPt,
    mostPt: Math.max(leastPt, Math.min(mostPt, availablePt * MOST_SHARE)) + slackPt,
  };
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
