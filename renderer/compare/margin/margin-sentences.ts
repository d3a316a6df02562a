import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import { percentWords } from '../../../shared-lib/comparison/words/compare-sentences.ts';

type Margins = RequestResult<'listMargins'>;

/** The margin that the next session will have for a figure. */
export function nextMarginPercent({ margins, defaultPercent }: Margins, figure: string): number {
  return margins.find((one) => one.figure === figure)?.marginPercent ?? defaultPercent;
}

/** What a change means for this comparison, and who made the last one. */
export function marginSentence(
  margins: Margins,
  figure: string,
  usedPercent: number,
  format: (instant: string) => string,
): string {
  const newest = margins.margins.find((one) => one.figure === figure);
  const used = `This comparison rests on ±${percentWords(usedPercent)}, which stood before its earliest session began.`;
  if (newest === undefined) return `${used} Nobody has chosen another.`;
  const by = newest.operator === '' ? '' : ` by ${newest.operator}`;
  return newest.marginPercent === usedPercent
    ? `${used} Chosen ${format(newest.at)}${by}.`
    : `${used} Sessions that begin from now on take ±${percentWords(newest.marginPercent)}, chosen ${format(newest.at)}${by}.`;
}
