import type { CurveMapping } from '../exchange-requests.ts';
import { readNumber, splitLine } from './number-cells.ts';

type Form = Pick<CurveMapping, 'separator' | 'decimal'>;

const forms: readonly Form[] = [
  { separator: ';', decimal: ',' },
  { separator: ';', decimal: '.' },
  { separator: '\t', decimal: ',' },
  { separator: '\t', decimal: '.' },
  { separator: ',', decimal: '.' },
  { separator: ',', decimal: ',' },
];

const MOST_COLUMNS = 20;

/**
 * What a file's first lines (the more, the better) look like. A guess for a person to look at and put right; where there is
 * nothing to go by, the first column is taken for torque.
 */
export function guessMapping(lines: readonly string[]): CurveMapping {
  const filled = lines.filter((line) => line.trim() !== '');
  const form = forms.reduce((best, other) => (scoreOf(filled, other) > scoreOf(filled, best) ? other : best));
  const rows = filled.map((line) => splitLine(line, form.separator));
  const [first = []] = rows;
  const hasHeader = first.some((cell) => cell.trim() !== '' && readNumber(cell, form.decimal) === null);
  const headers = hasHeader ? first.map((cell) => cell.trim()) : first.map(() => '');
  const body = hasHeader ? rows.slice(1) : rows;
  const timeColumn = guessTimeColumn(headers, body, form);
  const torqueColumns = guessTorqueColumns(headers, body, form, timeColumn);
  const torqueHeader = headers[torqueColumns[0] ?? 0] ?? '';
  return {
    ...form,
    hasHeader,
    timeColumn,
    timeUnit: timeColumn !== null && isInMilliseconds(headers[timeColumn] ?? '') ? 'ms' : 's',
    sampleRateHz: null,
    torqueColumns,
    torqueUnit: guessUnit(torqueHeader),
    decimals: null,
  };
}

/** Rows of numbers with as many cells as most have; more columns only decide where these are alike. */
function scoreOf(lines: readonly string[], { separator, decimal }: Form): number {
  const rows = lines.map((line) => splitLine(line, separator));
  const widths = rows.map(({ length }) => length);
  const width = mostFrequent(widths);
  const numeric = rows.filter(
    (cells) =>
      cells.length === width &&
      cells.some((cell) => cell.trim() !== '') &&
      cells.every((cell) => cell.trim() === '' || readNumber(cell, decimal) !== null),
  );
  return numeric.length + Math.min(width, MOST_COLUMNS) / (2 * MOST_COLUMNS);
}

function mostFrequent(values: readonly number[]): number {
  const counts = Map.groupBy(values, (value) => value);
  const [best] = [...counts].toSorted(([, a], [, b]) => b.length - a.length);
  return best?.[0] ?? 0;
}

function fold(header: string): string {
  return header
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();
}

function isInMilliseconds(header: string): boolean {
  return / ?\b(?:ms|msec|millis|milliseconds?)$/.test(fold(header));
}

function guessTimeColumn(
  headers: readonly string[],
  body: readonly (readonly string[])[],
  { decimal }: Form,
): number | null {
  const named = headers.findIndex((header) => /^(?:time|t|zeit|temps|seconds?|s|ms)\b/.test(fold(header)));
  if (named >= 0) return named;
  if (headers.some((header) => header !== '') || (body[0]?.length ?? 0) < 2) return null;
  // Without names, the first column is time where it rises all the way.
  const values = body.map((cells) => readNumber(cells[0] ?? '', decimal)?.value ?? Number.NaN);
  const rises = values.every((value, index) => index === 0 || value > (values[index - 1] ?? Number.NaN));
  return rises && values.length > 2 ? 0 : null;
}

function guessTorqueColumns(
  headers: readonly string[],
  body: readonly (readonly string[])[],
  { decimal }: Form,
  timeColumn: number | null,
): number[] {
  const columns = [...headers.keys()].filter((column) => {
    const cells = body.map((row) => row[column]?.trim() ?? '').filter((cell) => cell !== '');
    const isNumeric = cells.length > 0 && cells.every((cell) => readNumber(cell, decimal) !== null);
    return column !== timeColumn && isNumeric;
  });
  const isDerived = (column: number): boolean =>
    /^(?:measuring|filtered|smoothed)\b/.test(fold(headers[column] ?? ''));
  const isTorque = (column: number): boolean =>
    /\b(?:torque|moment|drehmoment|couple|nm|n m|ft ?lbf?|lbf? ?ft|in ?lbf?|kgf? ?m)\b/.test(
      fold(headers[column] ?? ''),
    );
  const raw = columns.filter((column) => !isDerived(column));
  const named = raw.filter(isTorque);
  const chosen = [named, raw, columns].find(({ length }) => length > 0) ?? [timeColumn === 0 ? 1 : 0];
  return chosen.slice(0, MOST_COLUMNS);
}

function guessUnit(header: string): CurveMapping['torqueUnit'] {
  const folded = fold(header);
  if (/\b(?:ft ?lbf?s?|lbf? ?ft)\b/.test(folded)) return 'ftLbf';
  if (/\b(?:in ?lbf?s?|lbf? ?in)\b/.test(folded)) return 'inLbf';
  if (/\bkgf? ?m\b/.test(folded)) return 'kgfm';
  return 'Nm';
}
