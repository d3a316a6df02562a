import { THIN_SPACE } from '../format-quantity.ts';
import type { ExchangeRate } from './catalogue-model.ts';

export interface ExchangedAmount {
  readonly amount: number;
  /** The rate in words; null: it is in that currency already. */
  readonly rateWords: string | null;
}

/**
 * An amount in another currency, by the newest rate up to a day, whichever of the two currencies it was entered for; of one
 * day the one that stands later in the list counts. No rate is made from two others. Null: no such rate.
 */
export function exchangeMoney(
  amount: number,
  from: string,
  to: string,
  rates: readonly ExchangeRate[],
  on: string,
): ExchangedAmount | null {
  if (from === to) return { amount, rateWords: null };
  const rate = rates
    .filter(
      (candidate) =>
        candidate.on <= on &&
        ((candidate.currency === from && candidate.inCurrency === to) ||
          (candidate.currency === to && candidate.inCurrency === from)),
    )
    .toSorted(byDay)
    .at(-1);
  if (rate === undefined) return null;
  return {
    amount: rate.currency === from ? amount * rate.rate : amount / rate.rate,
    rateWords: `1${THIN_SPACE}${rate.currency} = ${rate.rate}${THIN_SPACE}${rate.inCurrency} (${rate.on}, ${rate.source})`,
  };
}

/** Days as text in ISO form sort as they follow each other; what stands later in a list stays later. */
export function byDay(a: { readonly on: string }, b: { readonly on: string }): number {
  return a.on < b.on ? -1 : Number(a.on > b.on);
}
