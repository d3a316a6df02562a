import { foldName } from '../catalogue/fold-name.ts';
import type { PackageView, PackedPull } from './pulls-of-package.ts';

/**
 * The number of the rules since which two definitions that have the same measures are alike: of standings (GATHERING) and of
 * comparisons (COMPARING).
 */
export const MEASURES_ALIKE_SINCE = { gathering: 4, comparing: 3 } as const;

/** Since which comparisons tell of suspect trials, and take the sessions of a day for one and a run sheet for whole; standings: gather-scored-trials.ts. */
export const COMPARED_BY_DAYS_SINCE = 4;

/** `rules`: a number of rules; left out where what was published has none, being of before there was one. */
export function areOfBefore(rules: number | undefined, since: number): boolean {
  return rules === undefined || rules < since;
}

/** A package as rules of before saw it, by which each definition was apart from every other. */
export function apartByDefinition(view: PackageView): PackageView {
  return {
    ...view,
    pulls: view.pulls.map((pull): PackedPull => ({
      ...pull,
      bench: { ...pull.bench, isByDefinition: true },
    })),
  };
}

/**
 * A package as versions of the program saw it that looked for a name among the tools in use only; null where each trial counts to
 * the same contender by that.
 */
export function namedAsBefore(view: PackageView): PackageView | null {
  const contenders = view.tools.contendersOfBefore();
  const pulls = view.pulls.map((pull): PackedPull => ({
    ...pull,
    key: contenders.keyOf(pull.setupId, foldName(pull.toolName)),
  }));
  if (pulls.every(({ key }, index) => key === view.pulls[index]?.key)) return null;
  return { ...view, tools: { ...view.tools, contenders }, pulls };
}

export function namedAsBeforeWords(count: number): string {
  return `An earlier version of the program looked for a name among the tools in use only, and let pulls under the name of a merged tool count to the one that stays, whoever else had either name: ${count} ${count === 1 ? 'trial counts' : 'trials count'} to another contender than today.`;
}
