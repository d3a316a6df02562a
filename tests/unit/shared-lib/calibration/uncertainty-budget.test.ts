import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import type { BudgetTerm } from '../../../../shared-lib/calibration/result-model.ts';
import {
  combineTerms,
  sharesOf,
  welchSatterthwaite,
} from '../../../../shared-lib/calibration/uncertainty-budget.ts';
import gum from '../../../fixtures/reference-values/gum.json' with { type: 'json' };

function term(standardUncertaintyNm: number, degreesOfFreedom: number | null, estimate?: string): BudgetTerm {
  return {
    source: 'a term',
    kind: 'independent',
    time: 'calibration',
    evaluation: 'B',
    distribution: 'normal',
    value: standardUncertaintyNm,
    unit: 'N·m',
    divisor: 1,
    sensitivity: 1,
    standardUncertaintyNm,
    degreesOfFreedom,
    ...(estimate === undefined ? {} : { estimate }),
  };
}

/** Source: GUM (JCGM 100:2008) H.1, as quoted and recomputed in tests/fixtures/reference-values/gum.json. */
describe('combining terms as GUM H.1 does', () => {
  const { componentsFirstOrder, computedHere, published } = gum.H1;
  const terms = componentsFirstOrder.map(({ u_nm, nu }) => term(u_nm, nu));

  it('gives the combined standard uncertainty', () => {
    const { standardNm } = combineTerms(terms, 1, distributions);
    expect(standardNm).toBeCloseTo(computedHere.uc, 6);
    expect(Math.round(standardNm)).toBe(published.uc_nm);
  });

  it('gives the effective degrees of freedom', () => {
    expect(welchSatterthwaite(terms)).toBeCloseTo(computedHere.nuEffAllComponents, 6);
  });

  it('expands with t of these degrees of freedom, not cut to a whole number', () => {
    const { coverageFactor, effectiveDegreesOfFreedom } = combineTerms(terms, 1, distributions);
    expect(coverageFactor).toBe(
      distributions.studentTQuantile(0.975, effectiveDegreesOfFreedom ?? Number.NaN),
    );
    expect(coverageFactor).toBeLessThan(distributions.studentTQuantile(0.975, 16));
    expect(coverageFactor).toBeGreaterThan(distributions.studentTQuantile(0.975, 17));
  });

  it('gives the difference of the gauges as one term, and the interval of 99 % as printed', () => {
    const differences = componentsFirstOrder
      .filter(({ name }) => name.startsWith('d '))
      .map(({ u_nm, nu }) => term(u_nm, nu));
    expect(differences).toHaveLength(3);
    expect(combineTerms(differences, 1, distributions).standardNm).toBeCloseTo(computedHere.u_d, 6);
    expect(welchSatterthwaite(differences)).toBeCloseTo(computedHere.nu_d, 5);
    // The GUM cuts 16.7 to 16 there; from memory, and recomputed.
    const t99 = distributions.studentTQuantile(0.995, published.nuEffTruncated);
    expect(t99).toBeCloseTo(published.t99, 2);
    expect(Math.abs(t99 * published.uc_nm - published.U99_nm)).toBeLessThan(1);
  });

  it('gives shares that add up to the whole within 1e-12', () => {
    expect(Math.abs(sharesOf(terms).reduce((sum, share) => sum + share, 0) - 1)).toBeLessThan(1e-12);
    const { standardNm } = combineTerms(terms, 1, distributions);
    const variance = sharesOf(terms).reduce((sum, share) => sum + share * standardNm ** 2, 0);
    expect(Math.abs(variance / standardNm ** 2 - 1)).toBeLessThan(1e-12);
  });
});

describe('a combined uncertainty', () => {
  it('is given as a share of the torque too, whichever way that turns', () => {
    for (const torqueNm of [50, -50]) {
      const { expandedNm, relativeExpandedPercent } = combineTerms([term(3, null)], torqueNm, distributions);
      expect(expandedNm).toBeCloseTo(3 * 1.959964, 5);
      expect(relativeExpandedPercent).toBeCloseTo(2 * 3 * 1.959964, 5);
    }
  });

  it('has no shares where nothing is uncertain', () => {
    expect(sharesOf([term(0, null), term(0, 4)])).toEqual([0, 0]);
  });
});

describe('degrees of freedom', () => {
  it('are infinitely many where no term was estimated', () => {
    expect(welchSatterthwaite([term(1, null), term(2, null)])).toBeNull();
    expect(combineTerms([term(1, null)], 1, distributions).coverageFactor).toBeCloseTo(1.959964, 5);
  });

  it('are those of the estimate where two terms rest on the same one', () => {
    expect(welchSatterthwaite([term(1, 2, 'mounting'), term(2, 2, 'mounting')])).toBeCloseTo(2, 12);
    expect(welchSatterthwaite([term(1, 2), term(2, 2)])).toBeGreaterThan(2.5);
  });
});
