import type { CatalogueTool } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import { countWords } from '../tool-sentences.ts';

/** What a merge does, before it is done. */
export function mergeConsequences(from: CatalogueTool, into: CatalogueTool): string[] {
  const name = from.tool.name;
  const stays = into.tool.name;
  return [
    `From now on ${countWords(from.trialCount, 'trial', 'trials')} and ${countWords(from.setupCount, 'setup', 'setups')} of ${name} count to ${stays}, in comparisons and standings too.`,
    `Trials keep what they were made with: the name ${name} stays in their records.`,
    ...(from.details.claims.length + from.details.prices.length + from.photos.length > 0
      ? [`Claims, prices and photos of ${name} stay with its own entry; ${stays} keeps those it has.`]
      : []),
    `${name} leaves the list. The merge can be undone from its page.`,
  ];
}

/** How an entry is told from its twin. */
export function entryWords({ tool, details, trialCount, setupCount }: CatalogueTool): string {
  const named = [details.maker, details.model].filter((part) => part !== '').join(' ');
  return [
    ...(named === '' || named === tool.name ? [] : [named]),
    countWords(trialCount, 'trial', 'trials'),
    countWords(setupCount, 'setup', 'setups'),
    ...(details.claims.length === 0 ? [] : [countWords(details.claims.length, 'claim', 'claims')]),
    ...(details.prices.length === 0 ? [] : [countWords(details.prices.length, 'price', 'prices')]),
  ].join(', ');
}

/** The entry that knows more stays, unless the person says otherwise. */
export function stayingId(tools: readonly [CatalogueTool, CatalogueTool]): string {
  const [first, second] = tools;
  const known = ({ trialCount, missing, details }: CatalogueTool) =>
    trialCount * 100 - missing.length + details.prices.length;
  return known(second) > known(first) ? second.tool.id : first.tool.id;
}

export function twinsTitle(count: number): string {
  return count === 1
    ? 'Two entries look like one tool.'
    : `${formatNumber(count, 0)} pairs look like one tool each.`;
}
