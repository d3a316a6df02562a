import type { Shape, TextStyle } from '../picture/picture-model.ts';
import { textShape } from '../picture/shapes.ts';
import { wrapEvenly, wrapText, wrapToLines } from '../picture/text-lines.ts';
import { measureTextPx } from '../picture/text-width.ts';
import type { Chart } from './chart-model.ts';
import type { ChartColours } from './chart-colours.ts';
import { type ChartSizes, lineHeightPx, middleToBaselinePx, prose } from './chart-sizes.ts';

export interface Box {
  readonly leftPx: number;
  readonly topPx: number;
  readonly rightPx: number;
  readonly bottomPx: number;
}

export interface ChartFrame {
  readonly shapes: readonly Shape[];
  /** What is left between heading and notes. */
  readonly body: Box;
}

type Words = Pick<Chart, 'title' | 'subtitle' | 'notes'>;

/** What is too long for the lines of one size is set in the next, which is a share of the format's; the last may be cut. */
const titleForms = [
  { mostLines: 2, share: 1 },
  { mostLines: 3, share: 0.72 },
] as const;
const subtitleForms = [
  { mostLines: 3, share: 1 },
  { mostLines: 4, share: 0.89 },
] as const;
/** Notes may take this share of the height; they say what the figures rest on, so it is much. */
const NOTES_SHARE = 0.24;
/** Of a square one half is the plot; what stands about it, in the size of the small type, is its axes and what is said above it. */
const SQUARE_PLOT_SHARE = 0.5;
const AROUND_PLOT_EM = 3.6;
const LEAST_NOTE_LINES = 4;
/** What no cut and no crop of the picture may hide. */
const marks = [
  { pattern: /\bdemo\b/i, word: 'demo' },
  { pattern: /\bsimulated\b/i, word: 'simulated' },
] as const;

/** Title and subtitle above, notes below, and the words that say that nothing real was measured. */
export function frameOf(words: Words, sizes: ChartSizes, colours: ChartColours): ChartFrame {
  const heading = headingOf(words, sizes, colours);
  const notes = notesOf(words.notes, heading.bottomPx, sizes, colours);
  return {
    shapes: [...heading.shapes, ...notes.shapes],
    body: {
      leftPx: sizes.marginPx,
      rightPx: sizes.widthPx - sizes.marginPx,
      topPx: heading.bottomPx + gapPx(sizes),
      bottomPx: notes.topPx - gapPx(sizes),
    },
  };
}

/** Between the plot and the words above and below. */
const gapPx = ({ smallPx }: ChartSizes): number => Math.round(smallPx * 0.8);

function headingOf({ title, subtitle, notes }: Words, sizes: ChartSizes, colours: ChartColours) {
  const { marginPx, widthPx, titlePx, subtitlePx } = sizes;
  const shapes: Shape[] = [];
  const mark = markOf([title, subtitle, ...notes], sizes, colours);
  shapes.push(...mark.shapes);
  const roomPx = widthPx - 2 * marginPx - mark.widthPx;
  let yPx = marginPx;
  const write = (lines: readonly string[], type: TextStyle, colour: string): void => {
    for (const line of lines) {
      yPx += lineHeightPx(type.sizePx);
      shapes.push(textShape(line, marginPx, yPx - type.sizePx * 0.28, type, colour));
    }
  };
  const titled = fittingForm(title, titleForms, (share) => prose(titlePx * share, 700), roomPx);
  write(wrapEvenly(title, titled.type, roomPx, titled.mostLines), titled.type, colours.ink);
  if (subtitle.trim() !== '') {
    yPx += Math.round(subtitlePx * 0.2);
    const wholePx = widthPx - 2 * marginPx;
    const form = fittingForm(subtitle, subtitleForms, (share) => prose(subtitlePx * share), wholePx);
    write(wrapToLines(subtitle, form.type, wholePx, form.mostLines), form.type, colours.inkSoft);
  }
  return { shapes, bottomPx: yPx };
}

/** The first form whose lines have room for the whole text, or else the last. */
function fittingForm(
  text: string,
  forms: readonly { readonly mostLines: number; readonly share: number }[],
  typeOf: (share: number) => TextStyle,
  widthPx: number,
): { readonly type: TextStyle; readonly mostLines: number } {
  const typed = forms.map(({ mostLines, share }) => ({ mostLines, type: typeOf(share) }));
  const fits = typed.find(({ mostLines, type }) => wrapText(text, type, widthPx).length <= mostLines);
  return fits ?? typed.at(-1) ?? { mostLines: 1, type: typeOf(1) };
}

/** A framed word in the upper right corner. */
function markOf(
  texts: readonly string[],
  { widthPx, marginPx, smallPx, hairPx }: ChartSizes,
  colours: ChartColours,
) {
  const found = marks.filter(({ pattern }) => texts.some((text) => pattern.test(text)));
  if (found.length === 0) return { shapes: [], widthPx: 0 };
  const word = found.map((mark) => mark.word).join(', ');
  const type = prose(smallPx, 700);
  const [padPx, heightPx] = [smallPx * 0.6, smallPx * 1.8];
  const boxPx = measureTextPx(word, type) + 2 * padPx;
  const shapes: Shape[] = [
    {
      kind: 'rectangle',
      xPx: widthPx - marginPx - boxPx,
      yPx: marginPx,
      widthPx: boxPx,
      heightPx,
      radiusPx: smallPx * 0.25,
      fill: null,
      stroke: { colour: colours.inkSoft, widthPx: hairPx, dashPx: [] },
      opacity: 1,
    },
    textShape(
      word,
      widthPx - marginPx - boxPx / 2,
      marginPx + heightPx / 2 + middleToBaselinePx(smallPx),
      type,
      colours.ink,
      { anchor: 'middle' },
    ),
  ];
  return { shapes, widthPx: boxPx + padPx };
}

/**
 * Each note begins a line of its own, in a square picture goes on in that of the one before. Where they are too many, whole ones are
 * left out, the last first, and it is said how many.
 */
function notesOf(
  notes: readonly string[],
  headingBottomPx: number,
  sizes: ChartSizes,
  colours: ChartColours,
) {
  const { marginPx, widthPx, heightPx, smallPx } = sizes;
  const type = prose(smallPx);
  const linePx = lineHeightPx(smallPx);
  const isSquare = widthPx === heightPx;
  const plotPx = heightPx * SQUARE_PLOT_SHARE + smallPx * AROUND_PLOT_EM;
  const roomPx = isSquare
    ? heightPx - headingBottomPx - plotPx - 2 * gapPx(sizes) - marginPx
    : heightPx * NOTES_SHARE;
  const most = Math.max(isSquare ? LEAST_NOTE_LINES : 2, Math.floor(roomPx / linePx));
  const lines = linesOfNotes(notes, most, (some) => {
    const paragraphs = isSquare ? [some.join(' ')] : some;
    return paragraphs.flatMap((text) => wrapText(text, type, widthPx - 2 * marginPx));
  });
  const topPx = heightPx - marginPx - lines.length * linePx;
  return {
    topPx,
    shapes: lines.map((line, index) =>
      textShape(line, marginPx, topPx + (index + 1) * linePx - smallPx * 0.28, type, colours.inkSoft),
    ),
  };
}

function linesOfNotes(
  notes: readonly string[],
  most: number,
  wrap: (notes: readonly string[]) => readonly string[],
): readonly string[] {
  const said = notes.map((note) => note.trim()).filter((note) => note !== '');
  for (let kept = said.length; kept > 0; kept -= 1) {
    const lines = wrap([...said.slice(0, kept), ...leftOutWords(said.length - kept)]);
    if (lines.length <= most) return lines;
  }
  return leftOutWords(said.length);
}

function leftOutWords(count: number): string[] {
  if (count === 0) return [];
  return [count === 1 ? 'One more note is in the report.' : `${count} more notes are in the report.`];
}
