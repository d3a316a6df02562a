import type { CurveMapping } from '../exchange-requests.ts';

export interface NumberCell {
  readonly value: number;
  /** Digits behind the decimal sign: 3 for "0.125" and for "1.25e-1". */
  readonly decimals: number;
}

const withPoint = /^[+-]?(?:\d+(?:\.(\d*))?|\.(\d+))(?:[eE]([+-]?\d{1,3}))?$/;
const withComma = /^[+-]?(?:\d+(?:,(\d*))?|,(\d+))(?:[eE]([+-]?\d{1,3}))?$/;

/** A number as it stands in a cell, blanks around it left aside; null for anything else. No thousands are grouped. */
export function readNumber(cell: string, decimal: CurveMapping['decimal']): NumberCell | null {
  const text = cell.trim();
  const found = (decimal === '.' ? withPoint : withComma).exec(text);
  if (found === null) return null;
  const [, afterWhole, bare, exponent] = found;
  const value = Number(text.replace(',', '.'));
  if (!Number.isFinite(value)) return null;
  return { value, decimals: Math.max(0, (afterWhole ?? bare ?? '').length - Number(exponent ?? 0)) };
}

/** One line of a CSV file; a cell in quotation marks may hold the separator. For guessing only. */
export function splitLine(line: string, separator: string): string[] {
  const cells: string[] = [];
  let cell = '';
  let isQuoted = false;
  for (const sign of line) {
    if (sign === '"') isQuoted = !isQuoted;
    else if (sign === separator && !isQuoted) {
      cells.push(cell);
      cell = '';
    } else cell += sign;
  }
  return [...cells, cell];
}
