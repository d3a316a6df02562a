/**
 * How the numbers of one field are written. `digits`: the most hexadecimal digits seen, which bound the bits.
 * `fraction`: with a decimal point or comma; such numbers are not counts of a converter.
 */
export type NumeralForm =
  | { readonly kind: 'decimal'; readonly zeroPaddedWidth: number | null }
  | { readonly kind: 'hex'; readonly digits: number; readonly isFixedWidth: boolean }
  | { readonly kind: 'fraction' }
  | { readonly kind: 'text' };

const decimalNumber = /^[+-]?\d{1,15}$/;
const hexNumber = /^(?:0[xX])?[0-9A-Fa-f]{1,12}$/;
const fraction = /^[+-]?(?:\d+[.,]\d*|[.,]\d+)(?:[eE][+-]?\d+)?$/;

const DIGIT_0 = 0x30;
/** A few garbled texts do not change what a field is. */
const NEARLY_ALL = 0.95;
const LEAST_LETTER_SHARE = 0.02;

/** Takes the texts of one field, line by line, without blanks around them. */
export function findNumeralForm(texts: readonly string[]): NumeralForm {
  let decimals = 0;
  let fractions = 0;
  let hexes = 0;
  let withHexLetters = 0;
  let withDigits = 0;
  let zeroPadded = 0;
  const widths = new Map<number, number>();
  for (const text of texts) {
    const isDecimal = decimalNumber.test(text);
    if (isDecimal) {
      decimals += 1;
      if (text.length > 1 && text.startsWith('0')) zeroPadded += 1;
    } else if (fraction.test(text)) fractions += 1;
    const isUnsigned = isDecimal && text.charCodeAt(0) >= DIGIT_0;
    if (!isUnsigned && (isDecimal || !hexNumber.test(text))) continue;
    hexes += 1;
    const digits = isUnsigned ? text : hexDigitsOf(text);
    widths.set(digits.length, (widths.get(digits.length) ?? 0) + 1);
    if (!isUnsigned) withHexLetters += 1;
    if (isUnsigned || /\d/.test(digits)) withDigits += 1;
  }
  const isMost = (count: number, share = NEARLY_ALL): boolean =>
    texts.length > 0 && count >= share * texts.length;
  const frequent = [...widths].filter(([, count]) => count >= (1 - NEARLY_ALL) * texts.length);
  const isFixedWidth = frequent.length === 1 && isMost(frequent[0]?.[1] ?? 0);
  // A word like "ADD" is made of hexadecimal digits too, but never holds a figure.
  const hasHexLetters = withHexLetters > 0 && (isFixedWidth || isMost(withHexLetters, LEAST_LETTER_SHARE));
  if (hasHexLetters && isMost(hexes) && withDigits > 0 && !isMost(decimals)) {
    return { kind: 'hex', digits: Math.max(...frequent.map(([width]) => width)), isFixedWidth };
  }
  if (hasHexLetters && isMost(hexes, 0.99) && withDigits > 0 && isFixedWidth) {
    return { kind: 'hex', digits: frequent[0]?.[0] ?? 1, isFixedWidth };
  }
  if (isMost(decimals)) {
    const width = isFixedWidth && zeroPadded > 0 ? (frequent[0]?.[0] ?? null) : null;
    return { kind: 'decimal', zeroPaddedWidth: width };
  }
  return isMost(fractions + decimals) ? { kind: 'fraction' } : { kind: 'text' };
}

/** The number without a sign bit; NaN where the text is not of this form. Fractions are read for the eye only. */
export function readNumeral(text: string, form: NumeralForm): number {
  switch (form.kind) {
    case 'decimal':
      return decimalNumber.test(text) ? Number(text) : Number.NaN;
    case 'hex':
      return hexNumber.test(text) ? Number.parseInt(hexDigitsOf(text), 16) : Number.NaN;
    case 'fraction':
      return fraction.test(text) || decimalNumber.test(text) ? Number(text.replace(',', '.')) : Number.NaN;
    case 'text':
      return Number.NaN;
  }
}

/** Bits of hexadecimal counts; a profile holds 8 at least. */
export function hexBits(digits: number): number {
  return Math.max(8, 4 * digits);
}

/** The same number as two's complement where it is hexadecimal. */
export function asSigned(value: number, form: NumeralForm): number {
  if (form.kind !== 'hex') return value;
  const end = 2 ** hexBits(form.digits);
  return value < end / 2 ? value : value - end;
}

/** Whether numbers of both forms are read alike. */
export function sameNumeralForm(one: NumeralForm, other: NumeralForm | undefined): boolean {
  if (one.kind === 'hex' && other?.kind === 'hex') return one.digits === other.digits;
  return one.kind === other?.kind;
}

function hexDigitsOf(text: string): string {
  return /^0[xX]/.test(text) ? text.slice(2) : text;
}
