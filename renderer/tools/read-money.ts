import { formatNumber, parseQuantity, THIN_SPACE } from '../../shared-lib/format-quantity.ts';

export type MoneyReading =
  | { readonly amount: number; readonly currency: string; readonly shown: string }
  | { readonly problem: string };

/** Signs that stand for one currency only. The others are shared by several, so their letters are asked for. */
const knownSigns: Readonly<Record<string, string>> = { '€': 'EUR', '£': 'GBP' };
const sharedSigns: Readonly<Record<string, string>> = { $: 'USD, CAD or AUD', '¥': 'JPY or CNY' };

const MOST = 1e9;
const CENTS = 2;

/** An amount with its currency before or behind it ("249 EUR", "€ 249,90"); with none, the usual one. */
export function readMoney(typed: string, usualCurrency: string): MoneyReading {
  const match =
    /^(?<before>[a-z]{3}|[€£$¥])?\s*(?<number>[\d.,\s]*\d[.,]?)\s*(?<behind>[a-z]{3}|[€£$¥])?$/iu.exec(
      typed.trim(),
    );
  if (match === null) {
    return { problem: 'This takes an amount with three letters for its currency, such as 249 EUR.' };
  }
  const { before, behind, number = '' } = match.groups ?? {};
  if (before !== undefined && behind !== undefined) {
    return { problem: 'The currency stands there twice. Write it once, such as 249 EUR.' };
  }
  const currency = currencyOf(before ?? behind, usualCurrency);
  if ('problem' in currency) return currency;
  // Of a quantity only its way of reading numbers is wanted here; letters were taken off above.
  const parsed = parseQuantity(number, 'percent', 'percent');
  if ('problem' in parsed) return parsed;
  if (!(parsed.value > 0 && parsed.value <= MOST)) {
    return { problem: `This takes more than 0, up to ${formatNumber(MOST, 0)}.` };
  }
  return {
    amount: parsed.value,
    currency: currency.letters,
    shown: formatMoney(parsed.value, currency.letters),
  };
}

/** The text with `usualCurrency` behind it where it was typed without one; what cannot be read stays as it was typed. */
export function withCurrencyNamed(typed: string, usualCurrency: string): string {
  const reading = readMoney(typed, '');
  return 'currency' in reading && reading.currency === ''
    ? `${typed.trim()}${THIN_SPACE}${usualCurrency}`
    : typed;
}

function currencyOf(
  typed: string | undefined,
  usualCurrency: string,
): { readonly letters: string } | { readonly problem: string } {
  if (typed === undefined) return { letters: usualCurrency };
  const shared = sharedSigns[typed];
  if (shared !== undefined) {
    return { problem: `“${typed}” stands for several currencies. Write three letters, such as ${shared}.` };
  }
  return { letters: knownSigns[typed] ?? typed.toUpperCase() };
}

/** "249 EUR", "249.90 EUR": two decimals unless the amount is whole or finer. */
export function formatMoney(amount: number, currency: string): string {
  const fraction = String(amount).split('.')[1] ?? '';
  const decimals = fraction === '' || fraction.includes('e') ? 0 : Math.max(CENTS, fraction.length);
  return `${formatNumber(amount, decimals)}${THIN_SPACE}${currency}`;
}
