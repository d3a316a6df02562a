import { readFileSync, writeFileSync } from 'node:fs';
import { inProject } from '../project-root.mjs';
import type { FileResult, GroupResult, MutationResults, Survivor } from './mutation-result.ts';

const documentPath = inProject('docs', 'mutation-testing.md');
const BEGIN = '<!-- written by npm run mutation -->';
const END = '<!-- end of what npm run mutation writes -->';

/** Puts the figures into docs/mutation-testing.md; what is written by hand around them stays. */
export function writeDocument(results: MutationResults): void {
  const text = readFileSync(documentPath, 'utf8');
  const [begin, end] = [text.indexOf(BEGIN), text.indexOf(END)];
  if (begin < 0 || end < begin) throw new Error(`docs/mutation-testing.md has no place for figures.`);
  writeFileSync(
    documentPath,
    `${text.slice(0, begin)}${BEGIN}\n\n${describeResults(results)}\n\n${text.slice(end)}`,
  );
}

/** Of all groups together and of each. */
export function describeResults(results: MutationResults): string {
  const groups = Object.entries(results);
  const all = groups.flatMap(([, { files }]) => files);
  return [
    tableOf(
      ['group', 'date', 'sample', 'tried', 'killed', '%', '% without equivalent ones'],
      [
        ...groups.map(([name, result]) => [
          name,
          describeDate(result),
          describeSample(result),
          ...figuresOf(result.files),
        ]),
        ['all', '', '', ...figuresOf(all)],
      ],
    ),
    tableOf(
      ['file in shared-lib', 'mutants', 'tried', 'killed', '%', '% without equivalent ones'],
      all.map((file) => [nameOf(file.file), String(file.mutantCount), ...figuresOf([file])]),
    ),
    ...describeSurvivors(groups.flatMap(([, { survivors }]) => survivors)),
  ].join('\n\n');
}

function describeDate({ date, againDate }: GroupResult): string {
  const again = againDate === null ? '' : `, again ${againDate.slice(0, 10)}`;
  return `${date.slice(0, 10)}${again}`;
}

function describeSample({ perFile, seed }: GroupResult): string {
  return perFile === null ? 'all' : `at most ${perFile} a file, seed ${seed}`;
}

/** Tried, killed, and shares in percent. */
export function figuresOf(files: readonly FileResult[]): string[] {
  const sum = (count: (file: FileResult) => number): number =>
    files.reduce((total, file) => total + count(file), 0);
  const [tried, killed] = [sum((file) => file.tried), sum((file) => file.killed)];
  const percent = (of: number): string => (of === 0 ? '' : ((100 * killed) / of).toFixed(1));
  return [String(tried), String(killed), percent(tried), percent(tried - sum((file) => file.equivalent))];
}

function describeSurvivors(survivors: readonly Survivor[]): string[] {
  const [equivalent, open] = [
    survivors.filter(({ why }) => why !== null),
    survivors.filter(({ why }) => why === null),
  ];
  return [
    '### Equivalent: no input shows a difference, or only one on a limit or within a tolerance',
    tableOf(
      ['where', 'there', 'instead', 'why'],
      equivalent.map((one) => [...placeOf(one), one.why ?? '']),
    ),
    '### Not found by a test',
    tableOf(
      ['where', 'there', 'instead', ''],
      open.map((one) => [...placeOf(one), describeOutcome(one)]),
    ),
  ];
}

function placeOf({ file, line, original, replacement }: Survivor): string[] {
  return [`${nameOf(file)}:${line}`, codeOf(original), replacement === '' ? 'nothing' : codeOf(replacement)];
}

function describeOutcome({ outcome, isSpent }: Survivor): string {
  if (outcome === 'unreached') return 'no unit test reaches it';
  return isSpent ? 'time ran out' : '';
}

const MOST_LETTERS = 60;

/** On one line, as a table wants it. */
function codeOf(code: string): string {
  const line = code.replaceAll(/\s+/g, ' ');
  const short = line.length > MOST_LETTERS ? `${line.slice(0, MOST_LETTERS)}…` : line;
  return `\`${short.replaceAll('|', '\\|')}\``;
}

const nameOf = (file: string): string => file.replace(/^shared-lib\/(.*)\.ts$/, '$1');

/** As Prettier writes it, so that the document passes the check of form. */
function tableOf(head: readonly string[], rows: readonly (readonly string[])[]): string {
  if (rows.length === 0) return 'None.';
  const widths = head.map((title, column) =>
    Math.max(3, title.length, ...rows.map((row) => row[column]?.length ?? 0)),
  );
  const line = (cells: readonly string[]): string =>
    `| ${widths.map((width, column) => (cells[column] ?? '').padEnd(width)).join(' | ')} |`;
  return [line(head), line(widths.map((width) => '-'.repeat(width))), ...rows.map(line)].join('\n');
}
