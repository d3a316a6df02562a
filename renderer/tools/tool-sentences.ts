import type {
  CatalogueTool,
  Claim,
  DriveSize,
  HandlingRating,
  Price,
  PriceKind,
} from '../../shared-lib/catalogue/catalogue-model.ts';
import {
  claimKindWords,
  priceKindWords,
  supplyWords,
  toolClassWords,
} from '../../shared-lib/catalogue/catalogue-words.ts';
import { formatNumber, THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import { formatMoney } from './read-money.ts';

/** The words of the catalogue as they begin a line. */
export const classNames = capitalised(toolClassWords);
export const supplyNames = capitalised(supplyWords);
export const claimNames = capitalised(claimKindWords);
export const priceNames = capitalised(priceKindWords);

const mm = `${THIN_SPACE}mm`;
const inch = `${THIN_SPACE}in`;

/** With the inches by which the trade calls what the standard has in millimetres. */
export const driveNames: Readonly<Record<DriveSize, string>> = {
  'square6.3': `Square 6.3${mm} (1/4${inch})`,
  square10: `Square 10${mm} (3/8${inch})`,
  'square12.5': `Square 12.5${mm} (1/2${inch})`,
  square20: `Square 20${mm} (3/4${inch})`,
  square25: `Square 25${mm} (1${inch})`,
  'hex6.35': `Hex 6.35${mm} (1/4${inch})`,
  'hex11.1': `Hex 11.1${mm} (7/16${inch})`,
  other: 'Other',
};

/** Stands where nothing is known. */
export const NOT_KNOWN = '–';

/** The highest of each kind, since several sources may state several: "1200 N·m fastening". */
export function claimWords(claims: readonly Claim[], formatClaim: (torqueNm: number) => string): string[] {
  return (['fastening', 'breakaway'] as const).flatMap((kind) => {
    const torques = claims.filter((claim) => claim.kind === kind).map(({ torqueNm }) => torqueNm);
    return torques.length === 0 ? [] : [`${formatClaim(Math.max(...torques))} ${kind}`];
  });
}

/** The newest of each kind: "249 EUR bare". */
export function priceWords(prices: readonly Price[]): string[] {
  return (['bare', 'kit'] as const).flatMap((kind) => {
    const newest = newestPrice(prices, kind);
    return newest === null ? [] : [`${formatMoney(newest.amount, newest.currency)} ${kind}`];
  });
}

/** Of two of one day the one entered later. */
export function newestPrice(prices: readonly Price[], kind: PriceKind): Price | null {
  return prices
    .filter((price) => price.kind === kind)
    .reduce<Price | null>(
      (newest, price) => (newest === null || price.on >= newest.on ? price : newest),
      null,
    );
}

export function meanScore(ratings: readonly HandlingRating[]): number | null {
  if (ratings.length === 0) return null;
  return ratings.reduce((sum, { score }) => sum + score, 0) / ratings.length;
}

/** "7.5", "8 of 2 raters". Only half points can be told apart in one rating, tenths in a mean. */
export function handlingWords(ratings: readonly HandlingRating[]): string | null {
  const mean = meanScore(ratings);
  if (mean === null) return null;
  return ratings.length === 1
    ? `${scoreWords(mean)} (1 rater)`
    : `${formatNumber(mean, 1)} (${ratings.length} raters)`;
}

export function scoreWords(score: number): string {
  return formatNumber(score, Number.isInteger(score) ? 0 : 1);
}

/** What withdrawing a rating does; the list has only the newest of each rater. */
export function withdrawalWords({ rater, score }: Pick<HandlingRating, 'rater' | 'score'>): string {
  return `${rater}: ${scoreWords(score)}. It counts no longer and stays stored with its reason. Where ${rater} had rated the tool before, that rating counts again.`;
}

/** Maker and model where they are known, so that two tools of one name can be told apart. */
export function makerAndModel({ details: { maker, model } }: CatalogueTool): string {
  return [maker, model].filter((part) => part !== '').join(' ');
}

export function countWords(count: number, one: string, many: string): string {
  return `${formatNumber(count, 0)} ${count === 1 ? one : many}`;
}

/** What became of an entry that is not counted among the tools any more; null: it is. */
export function whyUnlisted(tool: CatalogueTool, nameOf: (toolId: string) => string): string | null {
  if (tool.mergedIntoToolId !== null) return `merged into ${nameOf(tool.mergedIntoToolId)}`;
  return tool.tool.isArchived ? 'archived' : null;
}

/** The scale in the tester's own words, each with its number; what has no words is left out. */
export function scaleWords(scale: { readonly one: string; readonly five: string; readonly ten: string }) {
  return [
    { score: 1, words: scale.one },
    { score: 5, words: scale.five },
    { score: 10, words: scale.ten },
  ].filter(({ words }) => words !== '');
}

const HIGHEST = 10;
const LOWEST = 1;
const HALF = 0.5;

/** 1 to 10 in halves. */
export const handlingScores: readonly number[] = Array.from(
  { length: (HIGHEST - LOWEST) / HALF + 1 },
  (_, index) => LOWEST + index * HALF,
);

/** "length, bare mass and 3 more": the whole list stands on the tool's own page. */
export function missingWords(missing: readonly string[]): string {
  if (missing.length <= NAMED_MISSING + 1) return missing.join(', ');
  return `${missing.slice(0, NAMED_MISSING).join(', ')} and ${missing.length - NAMED_MISSING} more`;
}

const NAMED_MISSING = 2;

function capitalised<Key extends string>(
  words: Readonly<Record<Key, string>>,
): Readonly<Record<Key, string>> {
  const entries = Object.entries<string>(words).map(([key, word]) => [key, capital(word)]);
  // The keys are those that came in, which the compiler cannot follow through entries.
  return Object.fromEntries(entries) as Record<Key, string>;
}

export function capital(word: string): string {
  return word.charAt(0).toUpperCase() + word.slice(1);
}
