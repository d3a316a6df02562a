import { protectCell } from '../catalogue/csv-cells.ts';

/** A cell of a table: text, a finite number, or nothing. */
export type Cell = string | number | null;

export interface CsvForm {
  readonly separator: ',' | ';' | '\t';
  readonly decimal: '.' | ',';
  /**
   * For files that a spreadsheet opens: text that it would take for a formula (it begins with `=`, `+`, `-`, `@`, a tab or a
   * carriage return) gets an apostrophe before it. Numbers never do. Left out where a program reads the file.
   */
  readonly guardsFormulas: boolean;
}

/**
 * Rows as CSV by RFC 4180: CRLF after each, cells quoted where they have to be. Null is an empty cell. Numbers have as many
 * digits as it takes to read back the same number, bit for bit, with `decimal` for the point.
 *
 * Errors: RangeError for a number that is not finite, which CSV has no sign for.
 */
export function writeCsv(rows: readonly (readonly Cell[])[], form: CsvForm): string {
  const needsQuotes = new RegExp(`["\\r\\n${form.separator}]|^[\\s\\uFEFF]|\\s$`, 'u');
  const quote = (text: string): string => (needsQuotes.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
  return rows
    .map((row) => {
      const line = row.map((cell) => quote(cellText(cell, form))).join(form.separator);
      // A line with nothing in it would not be a row to most readers.
      return `${line === '' ? '""' : line}\r\n`;
    })
    .join('');
}

function cellText(cell: Cell, { decimal, guardsFormulas }: CsvForm): string {
  if (cell === null) return '';
  if (typeof cell === 'number') return numberText(cell, decimal);
  if (!guardsFormulas) return cell;
  const guarded = protectCell(cell);
  return /^[\t\r]/.test(guarded) ? `'${guarded}` : guarded;
}

/** Errors: RangeError for a number that is not finite. */
export function numberText(value: number, decimal: '.' | ','): string {
  if (!Number.isFinite(value)) throw new RangeError(`${value} cannot be written into a table`);
  const text = Object.is(value, -0) ? '-0' : String(value);
  return decimal === '.' ? text : text.replace('.', ',');
}
