import pdfmake, { type Content } from 'pdfmake';
import type { Report } from '../../shared-lib/report/report-model.ts';
import { createFontRuns } from './font-runs.ts';
import {
  BODY_SIZE_PT,
  CAPTION_SIZE_PT,
  COLOURS,
  CONTENT_WIDTH_PT,
  type ContentTools,
  HEADING_SIZE_PT,
  inline,
  sectionContent,
} from './pdf-content.ts';
import { documentFonts, readFontPieces } from './report-fonts.ts';

const MARGIN_PT = 48;
const TITLE_SIZE_PT = 20;
const SUBTITLE_SIZE_PT = 11;
/** From which share of the page down a heading (1) or the caption of a table (2) goes to the next one. */
const FOOT_OF_PAGE: Readonly<Record<number, number>> = { 1: 0.88, 2: 0.92 };

type Definition = Parameters<typeof pdfmake.createPdf>[0];

/**
 * A report as PDF: A4 upright, text that can be searched and copied, charts as lines, an outline of the sections. The same report gives the
 * same bytes.
 */
export async function writeDocument(
  report: Report,
  formatInstant: (instant: string) => string,
): Promise<Uint8Array> {
  const pieces = readFontPieces();
  const fonts = documentFonts(pieces);
  const files = new Set(Object.values(fonts).flatMap(({ normal, bold }) => [normal, bold]));
  pdfmake.setFonts(fonts);
  // Nothing in a report may make it read another file or ask the network.
  pdfmake.setUrlAccessPolicy(() => false);
  pdfmake.setLocalAccessPolicy((path) => files.has(path));
  const runsOf = createFontRuns(pieces);
  const tools: ContentTools = { runsOf, formatInstant };
  const content: Content[] = [
    ...titleContent(report, tools),
    ...report.sections.flatMap((section) => sectionContent(section, report, tools)),
  ];
  if (runsOf.substituted.size > 0) content.push(substitutesNote(runsOf.substituted.size));
  return await pdfmake.createPdf(definitionOf(report, content, tools)).getBuffer();
}

function definitionOf(report: Report, content: Content[], tools: ContentTools): Definition {
  const { title, subtitle, madeAt, softwareVersion, isSimulated, benchName } = report;
  const made = new Date(madeAt);
  const mark = isSimulated ? 'Simulated' : '';
  return {
    pageSize: 'A4',
    pageMargins: [MARGIN_PT, 56, MARGIN_PT, 52],
    version: '1.7',
    language: 'en',
    displayTitle: true,
    info: {
      title,
      subject: subtitle,
      author: benchName,
      creator: `Proofarm ${softwareVersion}`,
      producer: `Proofarm ${softwareVersion}`,
      creationDate: made,
      modDate: made,
    },
    defaultStyle: {
      font: 'Inter',
      fontSize: BODY_SIZE_PT,
      lineHeight: 1.22,
      color: COLOURS.ink,
    },
    styles: {
      title: { fontSize: TITLE_SIZE_PT, bold: true, lineHeight: 1.1 },
      subtitle: { fontSize: SUBTITLE_SIZE_PT, color: COLOURS.soft },
      heading: { fontSize: HEADING_SIZE_PT, bold: true, margin: [0, 12, 0, 5] },
      paragraph: { margin: [0, 0, 0, 6] },
      caption: { fontSize: CAPTION_SIZE_PT, color: COLOURS.soft },
      small: { fontSize: 7.5, color: COLOURS.soft },
    },
    header: (page) =>
      page === 1
        ? ''
        : {
            columns: [
              { text: inline(shortened(title), tools, HEAD), width: '*' },
              { text: mark, width: 'auto', bold: true },
            ],
            style: 'small',
            margin: [MARGIN_PT, 26, MARGIN_PT, 0],
          },
    footer: (page, pages) => ({
      columns: [
        {
          text: inline(`Proofarm ${softwareVersion}, ${tools.formatInstant(madeAt)}`, tools),
          width: '*',
        },
        { text: `Page ${page} of ${pages}`, width: 'auto' },
      ],
      style: 'small',
      margin: [MARGIN_PT, 18, MARGIN_PT, 0],
    }),
    // A heading or a caption at the foot of a page would stand there alone.
    pageBreakBefore: ({ headlineLevel, startPosition }) =>
      headlineLevel !== undefined && startPosition.verticalRatio > (FOOT_OF_PAGE[headlineLevel] ?? 1),
    content,
  };
}

function titleContent(
  { title, subtitle, isSimulated, benchName, madeAt, softwareVersion }: Report,
  tools: ContentTools,
): Content[] {
  return [
    ...(isSimulated
      ? [
          {
            text: 'Simulated: a demonstration, no real tool or transducer',
            bold: true,
            background: COLOURS.mark,
            margin: [0, 0, 0, 6] as [number, number, number, number],
          },
        ]
      : []),
    { text: inline(title, tools, { widthPt: CONTENT_WIDTH_PT, sizePt: TITLE_SIZE_PT }), style: 'title' },
    {
      text: inline(subtitle, tools, { widthPt: CONTENT_WIDTH_PT, sizePt: SUBTITLE_SIZE_PT }),
      style: 'subtitle',
      margin: [0, 4, 0, 6],
    },
    {
      text: inline(
        `Bench “${benchName}”. Made ${tools.formatInstant(madeAt)} by Proofarm ${softwareVersion}.`,
        tools,
      ),
      style: 'small',
      margin: [0, 0, 0, 4],
    },
    {
      canvas: [
        {
          type: 'line',
          x1: 0,
          y1: 0,
          x2: CONTENT_WIDTH_PT,
          y2: 0,
          lineWidth: 1.2,
          lineColor: COLOURS.ink,
        },
      ],
      margin: [0, 0, 0, 4],
    },
  ];
}

function substitutesNote(count: number): Content {
  const characters = count === 1 ? 'One character' : `${count} characters`;
  return {
    text: `${characters} that the typeface of this document lacks are written by their number in Unicode, such as [U+6771]. The page in HTML shows them as they are.`,
    style: 'small',
    margin: [0, 10, 0, 0],
  };
}

const LONGEST_HEAD = 70;
/** Beside the mark of a demonstration. */
const HEAD = { widthPt: CONTENT_WIDTH_PT - 60, sizePt: 7.5 };

function shortened(title: string): string {
  const letters = Array.from(title);
  return letters.length <= LONGEST_HEAD ? title : `${letters.slice(0, LONGEST_HEAD - 1).join('')}…`;
}
