import type { Shape } from '../picture/picture-model.ts';
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

const MOST_TITLE_LINES = 2;
const MOST_SUBTITLE_LINES = 3;
/** Notes may take this share of the height; they say what the figures rest on, so it is much; lines of a square one are short. */
const NOTES_SHARE = 0.24;
const SQUARE_NOTES_SHARE = 0.28;
/** What no cut and no crop of the picture may hide. */
const marks = [
  { pattern: /\bdemo\b/i, word: 'demo' },
  { pattern: /\bsimulated\b/i, word: 'simulated' },
] as const;

/** Title and subtitle above, notes below, and the words that say that nothing real was measured. */
export function frameOf(words: Words, sizes: ChartSizes, colours: ChartColours): ChartFrame {
  const heading = headingOf(words, sizes, colours);
  const notes = notesOf(words.notes, sizes, colours);
  return {
    shapes: [...heading.shapes, ...notes.shapes],
    body: {
      leftPx: sizes.marginPx,
      rightPx: sizes.widthPx - sizes.marginPx,
      topPx: heading.bottomPx + Math.round(sizes.smallPx * 0.8),
      bottomPx: notes.topPx - Math.round(sizes.smallPx * 0.8),
    },
  };
}

function headingOf({ title, subtitle, notes }: Words, sizes: ChartSizes, colours: ChartColours) {
  const { marginPx, widthPx, titlePx, subtitlePx } = sizes;
  const shapes: Shape[] = [];
  const mark = markOf([title, subtitle, ...notes], sizes, colours);
  shapes.push(...mark.shapes);
  const roomPx = widthPx - 2 * marginPx - mark.widthPx;
  let yPx = marginPx;
  for (const line of wrapEvenly(title, prose(titlePx, 700), roomPx, MOST_TITLE_LINES)) {
    yPx += lineHeightPx(titlePx);
    shapes.push(textShape(line, marginPx, yPx - titlePx * 0.28, prose(titlePx, 700), colours.ink));
  }
  if (subtitle.trim() !== '') {
    yPx += Math.round(subtitlePx * 0.2);
    for (const line of wrapToLines(
      subtitle,
      prose(subtitlePx),
      widthPx - 2 * marginPx,
      MOST_SUBTITLE_LINES,
    )) {
      yPx += lineHeightPx(subtitlePx);
      shapes.push(textShape(line, marginPx, yPx - subtitlePx * 0.28, prose(subtitlePx), colours.inkSoft));
    }
  }
  return { shapes, bottomPx: yPx };
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

/** Each note begins a line of its own. Where they are too many, whole ones are left out, the last first, and it is said how many. */
function notesOf(notes: readonly string[], sizes: ChartSizes, colours: ChartColours) {
  const { marginPx, widthPx, heightPx, smallPx } = sizes;
  const type = prose(smallPx);
  const linePx = lineHeightPx(smallPx);
  const share = widthPx === heightPx ? SQUARE_NOTES_SHARE : NOTES_SHARE;
  const lines = linesOfNotes(notes, Math.max(2, Math.floor((heightPx * share) / linePx)), (note) =>
    wrapText(note, type, widthPx - 2 * marginPx),
  );
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
  wrap: (note: string) => readonly string[],
): readonly string[] {
  const said = notes.map((note) => note.trim()).filter((note) => note !== '');
  const all = said.flatMap(wrap);
  if (all.length <= most) return all;
  const lines: string[] = [];
  let kept = 0;
  for (const note of said) {
    const ofNote = wrap(note);
    if (lines.length + ofNote.length > most - 1) break;
    lines.push(...ofNote);
    kept += 1;
  }
  const left = said.length - kept;
  return [...lines, left === 1 ? 'One more note is in the report.' : `${left} more notes are in the report.`];
}
