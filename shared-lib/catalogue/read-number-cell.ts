import { parseQuantity, type QuantityKind, type UnitOf } from '../format-quantity.ts';

/** What a file writes between whole number and fraction, as far as its numbers show it without doubt; null: they do not. */
export type DecimalMark = 'comma' | 'point' | 'both' | null;

type ReadNumber = { readonly value: number } | { readonly problem: string };

/** "1,5" and "0,250" can only be decimal; "1,250" could be either and shows nothing. */
export function findDecimalMark(cells: readonly string[]): DecimalMark {
  const numbers = cells.map((cell) => cell.replace(/\s/g, ''));
  const hasComma = numbers.some((number) => isPlainly(number, ','));
  const hasPoint = numbers.some((number) => isPlainly(number, '.'));
  if (hasComma) return hasPoint ? 'both' : 'comma';
  return hasPoint ? 'point' : null;
}

/**
 * A number with a unit of its own or that of its column, in the program's own unit. What could mean two numbers is refused,
 * unless the other numbers of the file show which one.
 */
export function readQuantityCell<Kind extends QuantityKind>(
  cell: string,
  kind: Kind,
  unit: UnitOf<Kind>,
  mark: DecimalMark,
): ReadNumber {
  const split = splitNumber(cell);
  const number = settle(split.number, mark);
  if ('problem' in number) return number;
  const parsed = parseQuantity(`${number.text}${split.rest}`, kind, unit);
  return 'problem' in parsed ? parsed : { value: parsed.value };
}

/** A number without a unit; `suffixes`: what may follow it all the same. */
export function readPlainCell(cell: string, mark: DecimalMark, suffixes: readonly string[] = []): ReadNumber {
  const split = splitNumber(cell);
  const rest = split.rest.trim();
  if (split.number !== '' && rest !== '' && !suffixes.includes(rest.toLowerCase())) {
    return { problem: `“${rest}” does not belong into this column. Write the number alone.` };
  }
  const number = settle(split.number === '' ? cell : split.number, mark);
  if ('problem' in number) return number;
  const parsed = parseQuantity(number.text, 'percent', 'percent');
  return 'problem' in parsed ? parsed : { value: parsed.value };
}

function splitNumber(cell: string): { readonly number: string; readonly rest: string } {
  const match = /^([+-]?(?=[\d.,])[\d.,\s]*(?:e[+-]?\d+(?!\w))?)(.*)$/isu.exec(cell.trim());
  return match === null
    ? { number: '', rest: cell.trim() }
    : { number: (match[1] ?? '').trim(), rest: match[2] ?? '' };
}

function settle(number: string, mark: DecimalMark): { readonly text: string } | { readonly problem: string } {
  if (/^[+-]?[1-9]\d{0,2},\d{3}$/.test(number) && mark === 'comma') {
    return { text: number.replace(',', '.') };
  }
  if (/^[+-]?[1-9]\d{0,2}\.\d{3}$/.test(number) && (mark === 'comma' || mark === 'both')) {
    return {
      problem: `“${number}” could mean ${number.replace('.', '')} or ${Number(number)}, since this file has decimal commas. Write one of these.`,
    };
  }
  return { text: number };
}

function isPlainly(number: string, decimal: ',' | '.'): boolean {
  const escaped = decimal === ',' ? ',' : '\\.';
  return new RegExp(
    `^[+-]?(?:\\d*${escaped}(?:\\d{1,2}|\\d{4,})|(?:0+|\\d{4,})${escaped}\\d{3})(?![\\d.,])`,
  ).test(number);
}
