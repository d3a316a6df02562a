import { formatNumber, THIN_SPACE } from '../format-quantity.ts';
import type { ToolProperty } from '../standings/scheme-model.ts';
import type { PropertyValue } from '../standings/standings-model.ts';
import type { CatalogueTool, Claim, ExchangeRate, HandlingRating, PriceKind } from './catalogue-model.ts';
import { priceKindWords } from './catalogue-words.ts';
import { byDay, exchangeMoney } from './exchange-money.ts';

export interface PropertyContext {
  /** In which money is given. */
  readonly currency: string;
  readonly rates: readonly ExchangeRate[];
  /** ISO day: prices and rates of later days do not count yet. */
  readonly on: string;
}

type Found = Omit<PropertyValue, 'property'>;

/**
 * All that standings can ask of a tool beside its trials, each once: SI units, money in the currency of the context. What is
 * not entered has a null and the reason; nothing is worked out from something else.
 */
export function propertiesOf(
  tool: Pick<CatalogueTool, 'tool' | 'details' | 'ratings'>,
  context: PropertyContext,
): PropertyValue[] {
  const { details, ratings } = tool;
  const found: Readonly<Record<ToolProperty, Found>> = {
    massBare: entered(details.massBareKg, 'Its bare mass'),
    massLoaded: entered(details.massLoadedKg, 'Its mass with its pack'),
    length: entered(details.lengthM, 'Its length'),
    priceBare: priceInForce(tool, 'bare', context),
    priceKit: priceInForce(tool, 'kit', context),
    declaredVibration: entered(
      tool.tool.declaredVibrationMps2,
      'Its declared vibration',
      'declared by its maker',
    ),
    declaredNoise: entered(tool.tool.declaredNoiseDbA, 'Its declared noise', 'declared by its maker'),
    handling: meanRating(ratings),
    fasteningClaim: claimInForce(details.claims, 'fastening'),
    breakawayClaim: claimInForce(details.claims, 'breakaway'),
  };
  const properties = Object.keys(found) as ToolProperty[];
  return properties.map((property) => ({ property, ...found[property] }));
}

/** The newest claim of a kind by the day it was stated; one without a day only where none has one. Null: none. */
export function newestClaim(claims: readonly Claim[], kind: Claim['kind']): Claim | null {
  const sorted = claims
    .filter((claim) => claim.kind === kind)
    .toSorted((a, b) => byDay({ on: a.statedOn ?? '' }, { on: b.statedOn ?? '' }));
  return sorted.at(-1) ?? null;
}

function missing(reason: string): Found {
  return { value: null, missing: reason, source: '', standardError: null };
}

function entered(value: number | null, what: string, source = 'as entered in the catalogue'): Found {
  return value === null
    ? missing(`${what} is not entered.`)
    : { value, missing: null, source, standardError: null };
}

function priceInForce(
  { details }: Pick<CatalogueTool, 'details'>,
  kind: PriceKind,
  { currency, rates, on }: PropertyContext,
): Found {
  const ofKind = details.prices.filter((price) => price.kind === kind);
  const price = ofKind
    .filter((candidate) => candidate.on <= on)
    .toSorted(byDay)
    .at(-1);
  const what = kind === 'bare' ? 'price of the bare tool' : 'price of the kit';
  if (price === undefined) {
    return missing(
      ofKind.length === 0 ? `No ${what} is entered.` : `The ${what} is entered for days after ${on} only.`,
    );
  }
  const exchanged = exchangeMoney(price.amount, price.currency, currency, rates, on);
  if (exchanged === null) {
    const since = rates.some(
      (rate) => rate.on > on && exchangeMoney(1, price.currency, currency, [rate], rate.on),
    );
    return missing(
      `The price is in ${price.currency} and no rate to ${currency} is entered${since ? ` for ${on} or before` : ''}.`,
    );
  }
  const words = [formatMoney(price.amount, price.currency), priceKindWords[kind], price.on, price.source];
  const source = words.filter((word) => word !== '').join(', ');
  return {
    value: exchanged.amount,
    missing: null,
    source: exchanged.rateWords === null ? source : `${source}; at ${exchanged.rateWords}`,
    standardError: null,
  };
}

function claimInForce(claims: readonly Claim[], kind: Claim['kind']): Found {
  const claim = newestClaim(claims, kind);
  if (claim === null) return missing(`No ${kind} claim is entered.`);
  return {
    value: claim.torqueNm,
    missing: null,
    source: `claimed by its maker, ${claim.source}${claim.statedOn === null ? '' : `, ${claim.statedOn}`}`,
    standardError: null,
  };
}

/** Mean of what each rater said last. One rater tells nothing of how raters differ. */
function meanRating(ratings: readonly HandlingRating[]): Found {
  const count = ratings.length;
  if (count === 0) return missing('Nobody has rated its handling.');
  const mean = ratings.reduce((sum, { score }) => sum + score, 0) / count;
  const squares = ratings.reduce((sum, { score }) => sum + (score - mean) ** 2, 0);
  return {
    value: mean,
    missing: null,
    source:
      count === 1
        ? `judgement of one rater, ${ratings[0]?.rater ?? ''}`
        : `judgement, mean of ${count} raters`,
    standardError: count === 1 ? null : Math.sqrt(squares / (count - 1) / count),
    degreesOfFreedom: count - 1,
  };
}

/** "199 EUR", "199.50 EUR". */
export function formatMoney(amount: number, currency: string): string {
  return `${formatNumber(amount, Number.isInteger(amount) ? 0 : 2)}${THIN_SPACE}${currency}`;
}
