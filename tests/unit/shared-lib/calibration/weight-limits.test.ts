import { describe, expect, it } from 'vitest';
import { weightClassSchema } from '../../../../shared-lib/calibration/standards-model.ts';
import {
  massUncertaintyKg,
  nominalMassesKg,
  standardUncertaintyOf,
  weightLimitKg,
} from '../../../../shared-lib/calibration/weight-limits.ts';
import reference from '../../../fixtures/reference-values/oiml-r111-mpe.json' with { type: 'json' };
import { demoWeight } from '../../../helpers/run-setups.ts';

/** Source and status of the table stand in the fixture. */
const cells = reference.rows.flatMap(([nominalG = 0, ...limitsMg]) =>
  limitsMg.map((limitMg, index) => ({ nominalG, limitMg, ofClass: reference.columns[index + 1] ?? '' })),
);

describe('weightLimitKg', () => {
  it.each(cells)('is $limitMg mg for $nominalG g of class $ofClass', ({ nominalG, limitMg, ofClass }) => {
    expect(weightLimitKg(nominalG / 1000, weightClassSchema.parse(ofClass))).toBeCloseTo(limitMg / 1e6, 15);
  });

  it('knows 15 nominal masses in six classes', () => {
    expect(cells).toHaveLength(90);
    expect(nominalMassesKg).toEqual(reference.rows.map(([nominalG = 0]) => nominalG / 1000).reverse());
  });

  it.each([0.3, 3, 15, 25, 100, 2.26796185, 4.9999, 0])('has none for %s kg', (massKg) => {
    expect(weightLimitKg(massKg, 'M1')).toBeNull();
  });

  it('takes a mass that only rounding keeps from the nominal one for the nominal one', () => {
    expect(weightLimitKg(0.1 + 0.2 - 0.1, 'M1')).toBe(weightLimitKg(0.2, 'M1'));
  });
});

describe('the standard uncertainty of a mass', () => {
  it('is the limit of its class over the square root of three', () => {
    const uncertainty = massUncertaintyKg(demoWeight(5));
    expect(uncertainty).toMatchObject({ value: 250e-6, distribution: 'rectangular' });
    expect(uncertainty?.standard).toBeCloseTo(250e-6 / Math.sqrt(3), 15);
  });

  it('is U over k of its certificate', () => {
    const uncertaintyKg = { kind: 'certificate', expanded: 80e-6, coverageFactor: 2 } as const;
    expect(standardUncertaintyOf(uncertaintyKg).standard).toBeCloseTo(40e-6, 15);
    const weight = { ...demoWeight(5.0003), tolerance: { kind: 'own', uncertaintyKg } as const };
    expect(massUncertaintyKg(weight)).toMatchObject({ value: 80e-6, divisor: 2, distribution: 'normal' });
  });

  it('is not known for a class without that nominal mass', () => {
    expect(massUncertaintyKg(demoWeight(2.268))).toBeNull();
  });
});
