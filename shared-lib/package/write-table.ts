import { numberText } from '../tables/write-csv.ts';
import type { PackageColumn } from './package-table.ts';

export type StoredValue = string | number | Uint8Array | null;

export function tableHeader(columns: readonly PackageColumn[]): string {
  return `${columns.map(({ name }) => name).join(',')}\r\n`;
}

/**
 * A line of a table. Null is an empty cell; an empty text is `""` in a column that may be null, else empty. Bytes come as Base64.
 * Letters and digits stay as they are: nothing is changed for spreadsheets.
 */
export function tableLine(
  columns: readonly PackageColumn[],
  row: Readonly<Record<string, StoredValue>>,
  base64: (bytes: Uint8Array) => string,
): string {
  const cells = columns.map(({ name, isNullable }) => {
    const value = row[name];
    if (value === null) return '';
    if (value === undefined) throw new Error(`The row has no ${name}`);
    if (typeof value === 'number') return numberText(value, '.');
    if (typeof value !== 'string') return base64(value);
    if (value === '') return isNullable ? '""' : '';
    return needsQuotes.test(value) ? `"${value.replaceAll('"', '""')}"` : value;
  });
  const line = cells.join(',');
  return `${line === '' ? '""' : line}\r\n`;
}

// Also a cell with blanks at its ends, which many readers take away, and the sign that some begin a file with.
const needsQuotes = /[",\r\n]|^[\s\uFEFF]|\s$/u;
