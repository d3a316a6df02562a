import type { Content, CustomTableLayout, TableCell } from 'pdfmake';
import { assertNever } from '../../shared-lib/assert-never.ts';
import type { Report, ReportBlock } from '../../shared-lib/report/report-model.ts';
import type { FontRuns } from './font-runs.ts';
import { chartForDocument } from './pdf-chart.ts';
import { columnWidthsPt, fitWords, type Room } from './pdf-columns.ts';

/** Between the margins of the page. */
export const CONTENT_WIDTH_PT = 595.28 - 2 * 48;
const TABLE_SIZE_PT = 7.5;
const CELL_PADDING_PT = 4;
export const BODY_SIZE_PT = 8.8;
export const HEADING_SIZE_PT = 12.5;
export const CAPTION_SIZE_PT = 8;
const LABEL_WIDTH_PT = 135;
/** What a mark of a list or the frame of a caution takes. */
const INDENT_PT = 24;
/** A row with a cell longer than this may be more than a page high, and is broken then. */
const LONGEST_WHOLE_CELL = 1200;

const PARAGRAPH: Room = { widthPt: CONTENT_WIDTH_PT, sizePt: BODY_SIZE_PT };
const INDENTED: Room = { widthPt: CONTENT_WIDTH_PT - INDENT_PT, sizePt: BODY_SIZE_PT };
const VALUE: Room = {
  widthPt: CONTENT_WIDTH_PT - LABEL_WIDTH_PT - 3 * CELL_PADDING_PT,
  sizePt: BODY_SIZE_PT,
};
const CAPTION: Room = { widthPt: CONTENT_WIDTH_PT, sizePt: CAPTION_SIZE_PT };

export const COLOURS = {
  ink: '#17181a',
  soft: '#46484c',
  line: '#bdbdb8',
  mark: '#ffb300',
  sunken: '#f3f3f1',
} as const;

export interface ContentTools {
  readonly runsOf: FontRuns;
  readonly formatInstant: (instant: string) => string;
}

/** A text as pdfmake takes it, in the pieces of the typeface and broken to its room. */
export function inline(text: string, { runsOf }: Pick<ContentTools, 'runsOf'>, room: Room = PARAGRAPH) {
  const fitted = fitWords(
    runsOf(text)
      .map((run) => run.text)
      .join(''),
    room,
  );
  return runsOf(fitted).map(({ text: words, family }) => ({ text: words, font: family }));
}

const tableLines: CustomTableLayout = {
  hLineWidth: (index, node) => (index === 0 || index === 1 || index === node.table.body.length ? 0.8 : 0.4),
  hLineColor: (index) => (index <= 1 ? COLOURS.ink : COLOURS.line),
  vLineWidth: () => 0,
  paddingLeft: (index) => (index === 0 ? 0 : CELL_PADDING_PT),
  paddingRight: () => CELL_PADDING_PT,
  paddingTop: () => 2.2,
  paddingBottom: () => 2.2,
};

const factLines: CustomTableLayout = {
  hLineWidth: () => 0.4,
  hLineColor: () => COLOURS.line,
  vLineWidth: () => 0,
  paddingLeft: (index) => (index === 0 ? 0 : CELL_PADDING_PT),
  paddingRight: () => CELL_PADDING_PT,
  paddingTop: () => 2.5,
  paddingBottom: () => 2.5,
};

const cautionLines: CustomTableLayout = {
  hLineWidth: () => 0,
  vLineWidth: (index) => (index === 0 ? 3 : 0),
  vLineColor: () => COLOURS.mark,
  fillColor: () => COLOURS.sunken,
  paddingLeft: () => 8,
  paddingRight: () => 8,
  paddingTop: () => 5,
  paddingBottom: () => 5,
};

/** The sections in the order in which they are read; each heading stands in the outline of the document. */
export function sectionContent(
  { heading, blocks }: Report['sections'][number],
  report: Report,
  tools: ContentTools,
): Content[] {
  const head: Content = {
    text: inline(heading, tools, { widthPt: CONTENT_WIDTH_PT, sizePt: HEADING_SIZE_PT }),
    style: 'heading',
    headlineLevel: 1,
    outline: true,
    outlineText: heading,
  };
  const [first = [], ...others] = blocks.map((block) => blockContent(block, report, tools));
  // A picture is never broken, and would leave its heading behind.
  const begin: Content[] =
    blocks[0]?.kind === 'chart' ? [{ unbreakable: true, stack: [head, ...first] }] : [head, ...first];
  return [...begin, ...others.flat()];
}

function blockContent(block: ReportBlock, report: Report, tools: ContentTools): Content[] {
  switch (block.kind) {
    case 'text':
      return [{ text: inline(block.text, tools), style: 'paragraph' }];
    case 'list':
      return [
        {
          ul: block.items.map((item) => ({ text: inline(item, tools, INDENTED), margin: [0, 0, 0, 2] })),
          style: 'paragraph',
        },
      ];
    case 'caution':
      return [
        {
          table: {
            widths: ['*'],
            dontBreakRows: true,
            body: [[{ text: [{ text: 'Caution. ', bold: true }, ...inline(block.text, tools, INDENTED)] }]],
          },
          layout: cautionLines,
          margin: [0, 0, 0, 6],
        },
      ];
    case 'facts':
      return [
        pairs(
          block.rows.map(({ label, value }) => [label, value]),
          tools,
        ),
      ];
    case 'trail':
      return [
        pairs(
          block.events.map(({ at, text }) => [tools.formatInstant(at), text]),
          tools,
        ),
      ];
    case 'table':
      return tableContent(block, tools);
    case 'chart':
      return [
        {
          unbreakable: true,
          stack: [
            { svg: chartForDocument(block.chart, report.torqueUnit, tools.runsOf), width: CONTENT_WIDTH_PT },
            { text: inline(block.caption, tools, CAPTION), style: 'caption', margin: [0, 4, 0, 10] },
          ],
        },
      ];
    default:
      return assertNever(block, 'A piece of a report that no document shows');
  }
}

function pairs(rows: readonly (readonly [string, string])[], tools: ContentTools): Content {
  return {
    table: {
      widths: [LABEL_WIDTH_PT, '*'],
      dontBreakRows: rows.every(([, value]) => value.length < LONGEST_WHOLE_CELL),
      body: rows.map(([label, value]) => [
        {
          text: inline(label, tools, { widthPt: LABEL_WIDTH_PT, sizePt: BODY_SIZE_PT }),
          color: COLOURS.soft,
        },
        { text: inline(value, tools, VALUE) },
      ]),
    },
    layout: factLines,
    margin: [0, 0, 0, 10],
  };
}

function tableContent(block: Extract<ReportBlock, { kind: 'table' }>, tools: ContentTools): Content[] {
  const { caption, columns, rows } = block;
  const padding = columns.length * 2 * CELL_PADDING_PT - CELL_PADDING_PT;
  const widths = columnWidthsPt(block, {
    availablePt: CONTENT_WIDTH_PT - padding,
    fontSizePt: TABLE_SIZE_PT,
  });
  const roomOf = (index: number): Room => ({ widthPt: widths[index] ?? 0, sizePt: TABLE_SIZE_PT });
  const alignment = (index: number) =>
    columns[index]?.align === 'end' ? ('right' as const) : ('left' as const);
  // Figures in cells of one width, so that they stand on the point; in sentences that would tear dates apart.
  const figureLook = (index: number) =>
    columns[index]?.align === 'end'
      ? { alignment: 'right' as const, fontFeatures: ['tnum' as const] }
      : { alignment: 'left' as const };
  const head = columns.map(({ label }, index): TableCell => ({
    text: inline(label, tools, roomOf(index)),
    bold: true,
    alignment: alignment(index),
  }));
  return [
    { text: inline(caption, tools, CAPTION), style: 'caption', headlineLevel: 2, margin: [0, 2, 0, 3] },
    {
      table: {
        widths,
        headerRows: 1,
        keepWithHeaderRows: 1,
        dontBreakRows: rows.every((row) => row.every((cell) => cell.length < LONGEST_WHOLE_CELL)),
        body: [
          head,
          ...rows.map((row) =>
            columns.map((_column, index): TableCell => ({
              text: inline(row[index] ?? '', tools, roomOf(index)),
              ...figureLook(index),
            })),
          ),
        ],
      },
      layout: tableLines,
      fontSize: TABLE_SIZE_PT,
      margin: [0, 0, 0, 10],
    },
  ];
}
