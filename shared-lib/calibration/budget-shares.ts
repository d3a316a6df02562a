import type { BudgetTerm, StepResult } from './result-model.ts';

/** The uncertainty of the day of the calibration, or that of a trial some time after it. */
export type BudgetTime = 'calibration' | 'bench';

export interface BudgetShare {
  readonly term: BudgetTerm;
  /** Of u², in percent; all of a step's add to 100. */
  readonly sharePercent: number;
}

/** The terms that count at that time. */
export function termsAt(terms: readonly BudgetTerm[], time: BudgetTime): readonly BudgetTerm[] {
  return time === 'bench' ? terms : terms.filter((term) => term.time === 'calibration');
}

/** What each term has of u², the largest first. Where nothing varies at all, every share is 0. */
export function budgetShares(terms: readonly BudgetTerm[], time: BudgetTime): BudgetShare[] {
  const counted = termsAt(terms, time);
  const total = counted.reduce((sum, { standardUncertaintyNm: u }) => sum + u * u, 0);
  return counted
    .map((term) => ({
      term,
      sharePercent: total === 0 ? 0 : (100 * term.standardUncertaintyNm ** 2) / total,
    }))
    .sort((a, b) => b.sharePercent - a.sharePercent);
}

/** Sources that get a colour and a number of their own in the picture; what is left is drawn as one. */
const NAMED_SOURCES = 5;
export const OTHER_SOURCES = 'the other terms';

export interface ShareBar {
  readonly step: StepResult;
  /** In the order of the sources; they add to 100 where anything varies. */
  readonly segments: readonly { readonly source: string; readonly sharePercent: number }[];
}

export interface SharePicture {
  /** Largest over all steps first; the last one is OTHER_SOURCES where there are more than can be told apart. */
  readonly sources: readonly string[];
  readonly bars: readonly ShareBar[];
}

/** One bar for each step, with the same sources in the same order in all of them. */
export function sharePicture(steps: readonly StepResult[], time: BudgetTime): SharePicture {
  const perStep = steps.map((step) => bySource(budgetShares(step.terms, time)));
  const totals = new Map<string, number>();
  for (const shares of perStep) {
    for (const [source, share] of shares) totals.set(source, (totals.get(source) ?? 0) + share);
  }
  const ranked = [...totals.keys()].sort((a, b) => (totals.get(b) ?? 0) - (totals.get(a) ?? 0));
  const hasOthers = ranked.length > NAMED_SOURCES + 1;
  const named = hasOthers ? ranked.slice(0, NAMED_SOURCES) : ranked;
  const bars = steps.map((step, index): ShareBar => {
    const shares = perStep[index] ?? new Map<string, number>();
    const segments = named.map((source) => ({ source, sharePercent: shares.get(source) ?? 0 }));
    if (!hasOthers) return { step, segments };
    const others = ranked.slice(NAMED_SOURCES).reduce((sum, source) => sum + (shares.get(source) ?? 0), 0);
    return { step, segments: [...segments, { source: OTHER_SOURCES, sharePercent: others }] };
  });
  return { sources: hasOthers ? [...named, OTHER_SOURCES] : named, bars };
}

function bySource(shares: readonly BudgetShare[]): Map<string, number> {
  const sums = new Map<string, number>();
  for (const { term, sharePercent } of shares) {
    sums.set(term.source, (sums.get(term.source) ?? 0) + sharePercent);
  }
  return sums;
}
