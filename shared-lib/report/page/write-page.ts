import { drawChart } from '../../charts/draw-chart.ts';
import type { Chart, ChartLook } from '../../charts/chart-model.ts';
import { escapeXml, writeSvg } from '../../picture/write-svg.ts';
import { assertNever } from '../../assert-never.ts';
import type { Report, ReportBlock } from '../report-model.ts';
import { PAGE_STYLE } from './page-style.ts';

export interface PageTools {
  /** @font-face rules for `Inter` in the weights 400, 600 and 700, with the font inside as data. */
  readonly fontCss: (text: string) => string;
  /** A stored instant as readers elsewhere understand it. */
  readonly formatInstant: (instant: string) => string;
}

/** Nothing is loaded and nothing runs: a page that arrives by mail is opened without a second thought. */
const POLICY =
  "default-src 'none'; style-src 'unsafe-inline'; font-src data:; base-uri 'none'; form-action 'none'";

/** A report as one page of HTML, with everything it needs inside. */
export function writePage(report: Report, tools: PageTools): string {
  const { title, subtitle, isSimulated, benchName, madeAt, softwareVersion, sections } = report;
  const body = [
    '<div class="sheet">',
    '<header>',
    ...(isSimulated ? ['<p class="mark">Simulated: a demonstration, no real tool or transducer</p>'] : []),
    `<h1>${escapeXml(title)}</h1>`,
    `<p class="subtitle">${escapeXml(subtitle)}</p>`,
    `<p class="made">${escapeXml(`Bench “${benchName}”. Made ${tools.formatInstant(madeAt)} by Proofarm ${softwareVersion}.`)}</p>`,
    '<nav aria-label="Contents"><ol>',
    ...sections.map(
      ({ heading }, index) => `<li><a href="#${sectionId(index)}">${escapeXml(heading)}</a></li>`,
    ),
    '</ol></nav>',
    '</header>',
    '<main>',
    ...sections.flatMap(({ heading, blocks }, index) => [
      `<section aria-labelledby="${sectionId(index)}">`,
      `<h2 id="${sectionId(index)}">${escapeXml(heading)}</h2>`,
      ...blocks.map((block) => writeBlock(block, report, tools)),
      '</section>',
    ]),
    '</main>',
    `<footer>${escapeXml(`Proofarm ${softwareVersion}`)}</footer>`,
    '</div>',
  ].join('\n');
  return [
    '<!doctype html>',
    '<html lang="en">',
    '<head>',
    '<meta charset="utf-8">',
    `<meta http-equiv="Content-Security-Policy" content="${escapeXml(POLICY)}">`,
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    '<meta name="color-scheme" content="light dark">',
    `<title>${escapeXml(title)}</title>`,
    // What is in the style is ours; the text decides only which pieces of the font come along.
    `<style>${tools.fontCss(body)}${PAGE_STYLE}</style>`,
    '</head>',
    '<body>',
    body,
    '</body>',
    '</html>',
    '',
  ].join('\n');
}

function sectionId(index: number): string {
  return `section-${index + 1}`;
}

function writeBlock(block: ReportBlock, report: Report, tools: PageTools): string {
  switch (block.kind) {
    case 'text':
      return `<p>${inLines(block.text)}</p>`;
    case 'list':
      return `<ul>${block.items.map((item) => `<li>${inLines(item)}</li>`).join('')}</ul>`;
    case 'caution':
      return `<p class="caution"><strong>Caution.</strong> ${inLines(block.text)}</p>`;
    case 'facts':
      return `<dl class="facts">${block.rows
        .map(({ label, value }) => `<div><dt>${escapeXml(label)}</dt><dd>${inLines(value)}</dd></div>`)
        .join('')}</dl>`;
    case 'table':
      return writeTable(block);
    case 'chart':
      return writeChart(block, report);
    case 'trail':
      return `<ol class="trail">${block.events
        .map(
          ({ at, text }) =>
            `<li><time datetime="${escapeXml(at)}">${escapeXml(tools.formatInstant(at))}</time><span>${inLines(text)}</span></li>`,
        )
        .join('')}</ol>`;
    default:
      return assertNever(block, 'A piece of a report that no page shows');
  }
}

function writeTable({ caption, columns, rows }: Extract<ReportBlock, { kind: 'table' }>): string {
  const end = (index: number) => (columns[index]?.align === 'end' ? ' class="end"' : '');
  const head = columns
    .map(({ label }, index) => `<th scope="col"${end(index)}>${escapeXml(label)}</th>`)
    .join('');
  const lines = rows.map(
    (row) =>
      `<tr>${row
        .map((cell, index) =>
          index === 0
            ? `<th scope="row"${end(index)}>${inLines(cell)}</th>`
            : `<td${end(index)}>${inLines(cell)}</td>`,
        )
        .join('')}</tr>`,
  );
  // A wide table is scrolled by itself, also by keys.
  return `<div class="scroll" role="group" tabindex="0" aria-label="${escapeXml(caption)}"><table><caption>${escapeXml(caption)}</caption><thead><tr>${head}</tr></thead><tbody>\n${lines.join('\n')}\n</tbody></table></div>`;
}

/** Drawn twice, since a picture cannot follow the reader's scheme by itself; paper takes the light one. */
function writeChart(
  { chart, caption }: { readonly chart: Chart; readonly caption: string },
  { torqueUnit }: Report,
): string {
  const drawn = (theme: ChartLook['theme']) =>
    `<div class="${theme}">${writeSvg(drawChart(chart, { format: 'wide', theme, torqueUnit }), '')}</div>`;
  return `<figure>${drawn('light')}${drawn('dark')}<figcaption>${escapeXml(caption)}</figcaption></figure>`;
}

function inLines(text: string): string {
  return escapeXml(text).replaceAll(/\r?\n/g, '<br>');
}
