import { THIN_SPACE } from '../../../shared-lib/format-quantity.ts';

const TRUE_MINUS = /\u2212/g;

/** A shown text as other programs read it: an ordinary space before the unit and an ordinary minus. */
export function plainText(shown: string): string {
  return shown.replaceAll(THIN_SPACE, ' ').replaceAll(TRUE_MINUS, '-');
}

/** A number as a spreadsheet takes it: a point, no groups of digits; empty where there is none. */
export function plainNumber(value: number | null, decimals: number): string {
  return value === null || !Number.isFinite(value) ? '' : String(Number(value.toFixed(decimals)));
}

/** Rows of cells with tabs between them, as tables are handed from program to program. */
export function tabSeparated(rows: readonly (readonly string[])[]): string {
  return rows.map((cells) => cells.map(oneCell).join('\t')).join('\r\n');
}

/** A tab or an end of line inside a cell would make two of it. */
function oneCell(text: string): string {
  return plainText(text).replaceAll(/[\t\r\n]+/g, ' ');
}
