import { readFileSync, writeFileSync } from 'node:fs';
import { format, resolveConfig } from 'prettier';
import type { Figure, Report } from '../measured-figures.ts';

/** The columns of the history: figures whose change over the years is of interest. */
const columns: readonly (readonly [name: string, heading: string])[] = [
  ['P1.loss', 'P1 lost'],
  ['P1.cpu', 'P1 x'],
  ['P2.uplot', 'P2 uPlot x'],
  ['P2.chartjs', 'P2 Chart.js x'],
  ['P3.first', 'P3 first, ms'],
  ['P3.warm', 'P3 again, ms'],
  ['P3.step', 'P3 step, ms'],
  ['P4.standings', 'P4 standings, ms'],
  ['P4.draws', 'P4 draws, ms'],
  ['P4.page', 'P4 page, ms'],
  ['P4.search', 'P4 search, ms'],
  ['P4.growth', 'P4 growth x'],
  ['P5.bytes40000', 'P5 B at 40 000'],
  ['P5.bytes1000', 'P5 B at 1 000'],
  ['P5.csv', 'P5 CSV rows/s'],
  ['P6.window', 'P6 window, ms'],
  ['P6.services', 'P6 services, ms'],
];
const MARK = '<!-- The newest run is added below this line by npm run perf -- --note. -->';

/** Adds a row to the history under its mark, the newest first. Errors: plainly, where the document has no mark. */
export async function addToHistory(
  path: string,
  report: Report,
  { form, note }: { readonly form: string; readonly note: string },
): Promise<void> {
  const text = withRow(readFileSync(path, 'utf8'), historyRow(report, { form, note }));
  writeFileSync(path, await format(text, { ...(await resolveConfig(path)), filepath: path }));
}

/** The whole document with one row more. */
export function withRow(text: string, row: string): string {
  const at = text.indexOf(MARK);
  if (at < 0) throw new Error('The history has no mark under which a run is added');
  const heading = `| ${['date', 'form', ...columns.map(([, name]) => name), 'note', 'machine'].join(' | ')} |`;
  const ruler = `|${' --- |'.repeat(columns.length + 4)}`;
  const [before, after] = [text.slice(0, at + MARK.length), text.slice(at + MARK.length)];
  const lines = after.split('\n');
  const firstRow = lines.findIndex(
    (line) => line.startsWith('| ---') || line.startsWith('|--') || line.startsWith('| :'),
  );
  if (firstRow < 0) return `${before}\n\n${heading}\n${ruler}\n${row}\n${after}`;
  lines.splice(firstRow + 1, 0, row);
  return `${before}${lines.join('\n')}`;
}

/** One line: when, in which form, the figures in their columns, the note, and on what. */
export function historyRow(
  { date, machine, figures }: Report,
  { form, note }: { readonly form: string; readonly note: string },
): string {
  const cells = [
    `${date.slice(0, 16).replace('T', ' ')} UTC`,
    form,
    ...columns.map(([name]) => figureCell(figures[name])),
    note,
    [machine['processors'], machine['memory'], `Node ${machine['node'] ?? ''}`, machine['chromium']]
      .filter((part) => part !== undefined)
      .join(', '),
  ];
  // A bar would end the cell, a new line the row.
  return `| ${cells.map((cell) => cell.replaceAll('|', '/').replaceAll(/\s+/g, ' ')).join(' | ')} |`;
}

/** "240 (missed)"; nothing where the run has no such figure. */
function figureCell(figure: Figure | undefined): string {
  if (figure === undefined) return '';
  return figure.met ? String(figure.value) : `${figure.value} (missed)`;
}
