import type { Distributions } from './distributions.ts';
import type { BudgetTerm, CombinedUncertainty } from './result-model.ts';

const CONFIDENCE = 0.95;

/**
 * Combines terms in quadrature and gives the expanded uncertainty of 95 %.
 *
 * The effective degrees of freedom (Welch-Satterthwaite) are not cut to a whole number: t is defined for any, and cutting
 * makes the interval jump where nothing did. Shape: at least one term. Unit: N m.
 * Source: GUM (JCGM 100:2008) 5.1.2, G.4.1; checked against its example H.1.
 */
export function combineTerms(
  terms: readonly BudgetTerm[],
  torqueNm: number,
  { studentTQuantile }: Pick<Distributions, 'studentTQuantile'>,
): CombinedUncertainty {
  const variance = terms.reduce((sum, term) => sum + term.standardUncertaintyNm ** 2, 0);
  const standardNm = Math.sqrt(variance);
  const effectiveDegreesOfFreedom = welchSatterthwaite(terms);
  // Beyond this many degrees of freedom t differs from its limit by less than anybody reads.
  const coverageFactor = studentTQuantile((1 + CONFIDENCE) / 2, effectiveDegreesOfFreedom ?? 1e9);
  const expandedNm = coverageFactor * standardNm;
  return {
    standardNm,
    effectiveDegreesOfFreedom,
    coverageFactor,
    expandedNm,
    relativeExpandedPercent: (100 * expandedNm) / Math.abs(torqueNm),
  };
}

type WeighedTerm = Pick<BudgetTerm, 'standardUncertaintyNm' | 'degreesOfFreedom' | 'estimate'>;

/**
 * Null: infinitely many, as where no term was estimated from few readings. Terms of one estimate are not independent of
 * each other: counted singly they would seem to be known twice.
 */
export function welchSatterthwaite(terms: readonly WeighedTerm[]): number | null {
  const variance = terms.reduce((sum, term) => sum + term.standardUncertaintyNm ** 2, 0);
  const estimates = Map.groupBy(terms, ({ estimate }, index) => estimate ?? String(index));
  let denominator = 0;
  for (const group of estimates.values()) {
    const degreesOfFreedom = group[0]?.degreesOfFreedom ?? null;
    if (degreesOfFreedom === null) continue;
    const ofEstimate = group.reduce((sum, term) => sum + term.standardUncertaintyNm ** 2, 0);
    denominator += ofEstimate ** 2 / degreesOfFreedom;
  }
  return denominator === 0 ? null : variance ** 2 / denominator;
}

/** Share of each term in the variance; they add up to 1 where there is any. */
export function sharesOf(terms: readonly BudgetTerm[]): number[] {
  const variance = terms.reduce((sum, term) => sum + term.standardUncertaintyNm ** 2, 0);
  return terms.map((term) => (variance === 0 ? 0 : term.standardUncertaintyNm ** 2 / variance));
}
