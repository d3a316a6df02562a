import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  deadWeightTorqueNm,
  type DeadWeight,
} from '../../../../shared-lib/calibration/dead-weight-torque.ts';
import reference from '../../../fixtures/reference-values/deadweight-torque.json' with { type: 'json' };

/** Sources and status of the values stand in the fixture. */
const plain: DeadWeight = {
  massKg: 10,
  materialDensityKgM3: 8000,
  armLengthM: 0.5,
  armAngleDeg: 0,
  gravityMps2: 9.80665,
  airDensityKgM3: 1.2,
};

describe('deadWeightTorqueNm', () => {
  it.each(reference.cases)(
    'gives $weightTorqueNm N.m for $massKg kg at $armLengthM m',
    ({ arm, weightTorqueNm, totalTorqueNm, ...weight }) => {
      expect(deadWeightTorqueNm(weight)).toBeCloseTo(weightTorqueNm, 10);
      if (arm !== null) expect(deadWeightTorqueNm({ ...weight, arm })).toBeCloseTo(totalTorqueNm, 10);
    },
  );

  it('is m_c g L times 0.99985 for every material in air of exactly 1.2 kg/m3', () => {
    // What conventional mass is defined for: (1 - 1.2/rho)/(1 - 1.2/rho) = 1 and 1 - 1.2/8000 = 0.99985.
    fc.assert(
      fc.property(fc.double({ min: 1000, max: 22_000, noNaN: true }), (materialDensityKgM3) => {
        const torqueNm = deadWeightTorqueNm({ ...plain, materialDensityKgM3 });
        expect(Math.abs(torqueNm / (10 * 9.80665 * 0.5 * 0.99985) - 1)).toBeLessThan(1e-14);
      }),
    );
  });

  it.each(reference.conventionalMassOf1Kg)(
    'pulls the conventional mass of 1 kg of $densityKgM3 kg/m3 as its true mass is pulled',
    ({ densityKgM3, conventionalMassKg }) => {
      const trueForceN = 1 * 9.80665 * (1 - 1.05 / densityKgM3);
      const torqueNm = deadWeightTorqueNm({
        ...plain,
        massKg: conventionalMassKg,
        materialDensityKgM3: densityKgM3,
        armLengthM: 1,
        airDensityKgM3: 1.05,
      });
      expect(Math.abs(torqueNm / trueForceN - 1)).toBeLessThan(1e-8);
    },
  );

  it.each<[string, Partial<DeadWeight>]>([
    ['no mass', { massKg: 0 }],
    ['a mass that is no number', { massKg: Number.NaN }],
    ['an arm of no length', { armLengthM: 0 }],
    ['a density of 0', { materialDensityKgM3: 0 }],
    ['no gravity', { gravityMps2: 0 }],
    ['no air', { airDensityKgM3: 0 }],
    ['an upright arm', { armAngleDeg: 90 }],
    ['an arm without mass', { arm: { massKg: 0, densityKgM3: 7850, centreOfMassM: 0.3 } }],
    ['an arm without density', { arm: { massKg: 1, densityKgM3: 0, centreOfMassM: 0.3 } }],
  ])('refuses %s', (_, change) => {
    expect(() => deadWeightTorqueNm({ ...plain, ...change })).toThrow(
      expect.objectContaining({ code: 'input-out-of-range' }) as Error,
    );
  });
});
