import { currencySchema, type ExchangeRate } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import { FormReader, type FormReading, plainNumberReader } from '../../ui/form-reader.ts';

export interface RateForm {
  readonly currency: string;
  readonly inCurrency: string;
  readonly rate: string;
  readonly on: string;
  readonly source: string;
}

const LEAST = 1e-6;
const MOST = 1e9;
export const rateReader = plainNumberReader(LEAST, MOST);

/** Null: it can be taken. An empty field is no mistake yet. */
export function currencyProblem(typed: string): string | null {
  const text = typed.trim().toUpperCase();
  return text === '' || currencySchema.safeParse(text).success ? null : 'Three letters, such as EUR.';
}

export function readRateForm(form: RateForm): FormReading<ExchangeRate> {
  const reader = new FormReader();
  const currency = readCurrency(reader, 'the currency', form.currency);
  const rate = reader.needed('the rate', form.rate, rateReader);
  const inCurrency = readCurrency(reader, 'the currency it is worth', form.inCurrency);
  if (currency !== '' && currency === inCurrency) reader.missing.push('two different currencies');
  const on = reader.text('the day', form.on);
  const source = reader.text('the source', form.source);
  if (reader.missing.length > 0) return { missing: reader.missing };
  return { value: { currency, inCurrency, rate, on, source } };
}

function readCurrency(reader: FormReader, name: string, typed: string): string {
  const text = typed.trim().toUpperCase();
  if (currencySchema.safeParse(text).success) return text;
  reader.missing.push(name);
  return '';
}

/** "1 USD = 0.92 EUR". */
export function rateWords({ currency, rate, inCurrency }: ExchangeRate): string {
  return `1${THIN_SPACE}${currency} = ${formatNumber(rate, rateDecimals(rate))}${THIN_SPACE}${inCurrency}`;
}

/** All that was entered: a rate is no measurement that could be rounded. */
function rateDecimals(rate: number): number {
  const [mantissa = '', exponent] = String(rate).split('e');
  const fraction = mantissa.split('.')[1]?.length ?? 0;
  return Math.min(Math.max(fraction - Number(exponent ?? 0), 0), 12);
}

/** Newest day first; of one day the one entered later. */
export function newestRatesFirst(rates: readonly ExchangeRate[]): ExchangeRate[] {
  return rates.toReversed().toSorted((a, b) => b.on.localeCompare(a.on));
}
