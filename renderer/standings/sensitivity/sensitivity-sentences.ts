import { formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import type { Sensitivity } from '../../../shared-lib/standings/standings-model.ts';
import { listWords } from '../../../shared-lib/standings/words/place-sentences.ts';

type Term = Sensitivity['terms'][number];

/** How firm the order is against other factors, in words. */
export function factorWords(factor: number): string {
  const text = String(Number(factor.toPrecision(3)));
  const decimals = text.includes('e') ? 0 : (text.split('.')[1]?.length ?? 0);
  return formatNumber(Number(text), decimals);
}

/** "from 0.85 to 1.3", "up to 1.3", "from 0.85 up", "whatever the factor". */
export function boundsWords(from: number | null, to: number | null): string {
  if (from === null && to === null) return 'for every factor from 0 to ten times';
  if (from === null) return `for factors up to ${factorWords(to ?? 0)}`;
  if (to === null) return `for factors from ${factorWords(from)} up to ten times`;
  return `for factors from ${factorWords(from)} to ${factorWords(to)}`;
}

export function orderSentence({ factor, orderKeptFrom, orderKeptTo }: Term): string {
  return `The order stays ${boundsWords(orderKeptFrom, orderKeptTo)} (now ${factorWords(factor)}).`;
}

/** "Hollin H5 to place 2 and Tarnwick T6 to place 1". */
export function movesWords(moves: Term['without'], labelOf: (key: string) => string): string {
  if (moves.length === 0) return 'the same order';
  return listWords(moves.map(({ key, place }) => `${labelOf(key)} to place ${place}`));
}

/** Shares above zero, the greatest first, and who never comes first. */
export function sharesInOrder(shares: Sensitivity['firstShares']): {
  readonly first: Sensitivity['firstShares'];
  readonly neverKeys: readonly string[];
} {
  return {
    first: shares.filter(({ share }) => share > 0).toSorted((a, b) => b.share - a.share),
    neverKeys: shares.filter(({ share }) => share <= 0).map(({ key }) => key),
  };
}

/** "62 %"; what is rare is not rounded to nothing. */
export function shareWords(share: number): string {
  const percent = share * 100;
  if (percent > 0 && percent < 0.5) return `less than 1${THIN_SPACE}%`;
  if (percent < 100 && percent > 99.5) return `more than 99${THIN_SPACE}%`;
  return `${formatNumber(percent, 0)}${THIN_SPACE}%`;
}
