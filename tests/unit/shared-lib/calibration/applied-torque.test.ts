import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  angleTerms,
  appliedTorque,
  appliedTorqueNm,
  type AppliedLoad,
} from '../../../../shared-lib/calibration/applied-torque.ts';
import type { Arm, Site, Weight } from '../../../../shared-lib/calibration/standards-model.ts';
import reference from '../../../fixtures/reference-values/deadweight-torque.json' with { type: 'json' };
import { demoArm, demoSite, demoWeight } from '../../../helpers/run-setups.ts';

const degrees = Math.PI / 180;

/** As known as a computation needs it: no bias of the angle. */
const exactArm: Arm = { ...demoArm, angleLimitDeg: 0 };

function placeOf(gravityMps2: number, densityKgM3: number): Site {
  return {
    ...demoSite,
    gravity: { source: 'entered', gravityMps2 },
    air: { source: 'entered', densityKgM3 },
  };
}

const load: AppliedLoad = {
  weights: [demoWeight(5, 'one'), demoWeight(2, 'two')],
  arm: { ...demoArm, angleDeg: 2 },
  site: placeOf(9.8126, 1.15),
  way: 'weightsOnArm',
};

const termOf = (of: AppliedLoad, source: string) => {
  const term = appliedTorque(of).terms.find((each) => each.source === source);
  if (term === undefined) throw new Error(`no term “${source}”`);
  return term;
};

describe('the torque of weights on an arm', () => {
  /** Source and status of the cases stand in the fixture. */
  it.each(reference.cases)(
    'is $totalTorqueNm N.m for $massKg kg at $armLengthM m',
    ({
      arm,
      massKg,
      materialDensityKgM3,
      armLengthM,
      armAngleDeg,
      gravityMps2,
      airDensityKgM3,
      ...torque
    }) => {
      const of: AppliedLoad = {
        weights: [{ ...demoWeight(massKg), densityKgM3: materialDensityKgM3 }],
        arm: { ...exactArm, lengthM: armLengthM, angleDeg: armAngleDeg, own: arm },
        site: placeOf(gravityMps2, airDensityKgM3),
        way: 'weightsOnArm',
      };
      // A mass that R 111 has not (25 kg) has a torque too, and only no limit.
      expect(appliedTorqueNm(of)).toBeCloseTo(torque.totalTorqueNm, 10);
      expect(appliedTorqueNm({ ...of, arm: { ...of.arm, own: null } })).toBeCloseTo(
        torque.weightTorqueNm,
        10,
      );
    },
  );

  it('is m_c g L times 0.99985 for every mixture of materials in air of exactly 1.2 kg/m3', () => {
    const density = fc.double({ min: 1000, max: 22_000, noNaN: true });
    fc.assert(
      fc.property(density, density, (one, other) => {
        const weights = [
          { ...demoWeight(5, 'one'), densityKgM3: one },
          { ...demoWeight(10, 'other'), densityKgM3: other },
        ];
        const torqueNm = appliedTorqueNm({ ...load, weights, arm: exactArm, site: placeOf(9.80665, 1.2) });
        expect(Math.abs(torqueNm / (15 * 9.80665 * 0.5 * 0.99985) - 1)).toBeLessThan(1e-14);
      }),
    );
  });

  it.each(reference.conventionalMassOf1Kg)(
    'is that of the true mass for each weight of a stack, here of $densityKgM3 kg/m3',
    ({ densityKgM3, conventionalMassKg }) => {
      const weights = [{ ...demoWeight(conventionalMassKg), densityKgM3 }, demoWeight(1)];
      const site = placeOf(9.80665, 1.05);
      const other = appliedTorqueNm({ ...load, weights: [demoWeight(1)], arm: exactArm, site });
      const both = appliedTorqueNm({ ...load, weights, arm: exactArm, site });
      expect(Math.abs((both - other) / (9.80665 * (1 - 1.05 / densityKgM3) * 0.5) - 1)).toBeLessThan(1e-8);
    },
  );

  it('counts the moment of the arm once, however many weights hang', () => {
    const own = { massKg: 1.5, densityKgM3: 7850, centreOfMassM: 0.2 };
    const moment = (weights: readonly Weight[]): number =>
      appliedTorqueNm({ ...load, weights, arm: { ...exactArm, own } }) -
      appliedTorqueNm({ ...load, weights, arm: exactArm });
    const expected = 1.5 * 9.8126 * (1 - 1.15 / 7850) * 0.2;
    expect(moment([demoWeight(5)])).toBeCloseTo(expected, 10);
    expect(moment([demoWeight(5, 'one'), demoWeight(5, 'two')])).toBeCloseTo(expected, 10);
  });

  it('on a load cell is force times the reaction arm, whatever the angle and moment of an arm', () => {
    const arm: Arm = { ...load.arm, own: { massKg: 1.5, densityKgM3: 7850, centreOfMassM: 0.2 } };
    const onCell: AppliedLoad = { ...load, arm, way: 'loadCell' };
    expect(appliedTorqueNm(onCell)).toBeCloseTo(appliedTorqueNm({ ...load, arm: exactArm }), 12);
    expect(appliedTorque(onCell).terms.map(({ source }) => source)).toEqual([
      'Mass of the weights',
      'Length of the reaction arm',
      'Gravity',
      'Air buoyancy',
    ]);
  });

  it('tells the gravity and the air that it used', () => {
    const site: Site = {
      ...demoSite,
      gravity: { source: 'location', latitudeDeg: 52.5, heightM: 80 },
      gravityUncertaintyMps2: null,
    };
    const { gravityMps2, airDensityKgM3, torqueNm } = appliedTorque({ ...load, site });
    expect(gravityMps2).toBeCloseTo(9.812665906, 9);
    expect(airDensityKgM3).toBe(1.2);
    expect(torqueNm).toBe(appliedTorqueNm({ ...load, site }));
  });
});

describe('what the torque is uncertain by', () => {
  it('is the same in all repeats and known at the calibration', () => {
    const { terms } = appliedTorque(load);
    expect(terms.map(({ source }) => source)).toEqual([
      'Mass of the weights',
      'Length of the arm',
      'Gravity',
      'Air buoyancy',
      'Angle of the arm',
      'Angle of the arm, second order',
    ]);
    for (const term of terms) {
      expect(term).toMatchObject({ kind: 'common', time: 'calibration', evaluation: 'B' });
      expect(term.standardUncertaintyNm).toBeGreaterThan(0);
      const { sensitivity, value, divisor } = term;
      expect(term.standardUncertaintyNm / ((Math.abs(sensitivity) * value) / divisor)).toBeCloseTo(1, 12);
    }
  });

  /** Central differences of the torque itself. */
  it.each<[string, number, (change: number) => AppliedLoad]>([
    ['Length of the arm', 1e-4, (change) => ({ ...load, arm: { ...load.arm, lengthM: 0.5 + change } })],
    ['Gravity', 1e-3, (change) => ({ ...load, site: placeOf(9.8126 + change, 1.15) })],
    ['Air buoyancy', 1e-2, (change) => ({ ...load, site: placeOf(9.8126, 1.15 + change) })],
    [
      'Mass of the weights',
      1e-3,
      (change) => ({
        ...load,
        weights: [{ ...demoWeight(5, 'one'), massKg: 5 + change }, demoWeight(2, 'two')],
      }),
    ],
    [
      'Angle of the arm',
      1e-4,
      (change) => ({ ...load, arm: { ...load.arm, angleDeg: 2 + change / degrees } }),
    ],
  ])('changes with “%s” as the torque does', (source, step, changed) => {
    const derivative = (appliedTorqueNm(changed(step)) - appliedTorqueNm(changed(-step))) / (2 * step);
    expect(Math.abs(derivative)).toBeGreaterThan(0);
    expect(termOf(load, source).sensitivity / Math.abs(derivative)).toBeCloseTo(1, 6);
  });

  it('leaves the moment of the arm out of mass and length of what hangs', () => {
    const own = { massKg: 1.5, densityKgM3: 7850, centreOfMassM: 0.2 };
    const withArm: AppliedLoad = { ...load, arm: { ...load.arm, own } };
    for (const source of ['Mass of the weights', 'Length of the arm']) {
      expect(termOf(withArm, source).sensitivity).toBeCloseTo(termOf(load, source).sensitivity, 10);
    }
    expect(termOf(withArm, 'Gravity').sensitivity).toBeGreaterThan(termOf(load, 'Gravity').sensitivity);
  });

  it('adds the limits of stacked weights linearly', () => {
    // R 111, class M1: 250 mg for 5 kg, 100 mg for 2 kg.
    const term = termOf(load, 'Mass of the weights');
    expect(term).toMatchObject({ distribution: 'rectangular', unit: 'kg' });
    expect(term.value).toBeCloseTo(350e-6, 15);
    expect(term.divisor).toBe(Math.sqrt(3));
  });

  it('adds the standard uncertainties linearly where classes and certificates mix', () => {
    const certified: Weight = {
      ...demoWeight(2, 'two'),
      tolerance: { kind: 'own', uncertaintyKg: { kind: 'certificate', expanded: 60e-6, coverageFactor: 2 } },
    };
    const term = termOf({ ...load, weights: [demoWeight(5, 'one'), certified] }, 'Mass of the weights');
    expect(term.value / term.divisor).toBeCloseTo(250e-6 / Math.sqrt(3) + 30e-6, 15);
  });

  it('refuses a weight whose class has no such nominal mass, and names it', () => {
    expect(() => appliedTorque({ ...load, weights: [demoWeight(2.268)] })).toThrow(
      expect.objectContaining({
        code: 'input-out-of-range',
        message: expect.stringContaining('“2.268 kg”') as string,
      }) as Error,
    );
  });

  it('takes 0.0001 m/s2 for normal gravity, and otherwise what is stated', () => {
    const located: Site = {
      ...demoSite,
      gravity: { source: 'location', latitudeDeg: 52.5, heightM: 80 },
      gravityUncertaintyMps2: null,
    };
    expect(termOf({ ...load, site: located }, 'Gravity')).toMatchObject({
      value: 1e-4,
      distribution: 'rectangular',
    });
    const stated = { kind: 'certificate', expanded: 2e-5, coverageFactor: 2 } as const;
    expect(
      termOf({ ...load, site: { ...located, gravityUncertaintyMps2: stated } }, 'Gravity'),
    ).toMatchObject({
      value: 2e-5,
      divisor: 2,
      distribution: 'normal',
    });
  });
});

describe('an arm that lies within a limit of its angle', () => {
  /** Mean and standard deviation of the cosine over the angles theta - a to theta + a, by the midpoint rule. */
  function cosineOver(angleRad: number, limitRad: number): { mean: number; standardDeviation: number } {
    const cells = 20_000;
    const cosines = Array.from({ length: cells }, (_, cell) =>
      Math.cos(angleRad + limitRad * ((2 * cell + 1) / cells - 1)),
    );
    const mean = cosines.reduce((sum, cosine) => sum + cosine, 0) / cells;
    const variance = cosines.reduce((sum, cosine) => sum + (cosine - mean) ** 2, 0) / cells;
    return { mean, standardDeviation: Math.sqrt(variance) };
  }

  it.each([
    [0, 0.5],
    [0, 3],
    [0, 10],
    [3, 0.5],
    [-5, 2],
    [30, 1],
  ])(
    'at %s deg within %s deg gives the torque and its scatter of all those angles',
    (angleDeg, angleLimitDeg) => {
      const arm: Arm = { ...demoArm, angleDeg, angleLimitDeg };
      const level = appliedTorqueNm({ ...load, arm: exactArm });
      const torqueNm = appliedTorqueNm({ ...load, arm });
      const { mean, standardDeviation } = cosineOver(angleDeg * degrees, angleLimitDeg * degrees);
      // The next order of the mean is a^4/120.
      expect(Math.abs(torqueNm / level - mean)).toBeLessThan((angleLimitDeg * degrees) ** 4 / 100 + 1e-12);
      const scatterNm = Math.hypot(...angleTerms(arm, torqueNm).map((term) => term.standardUncertaintyNm));
      expect(scatterNm / level / standardDeviation).toBeCloseTo(1, 2);
    },
  );

  it('at the horizontal scatters by 0.149 a^2, where the first derivative gives nothing', () => {
    const limitRad = 2 * degrees;
    const terms = angleTerms({ ...demoArm, angleDeg: 0, angleLimitDeg: 2 }, 100);
    expect(terms.map(({ source }) => source)).toEqual(['Angle of the arm, second order']);
    expect((terms[0]?.standardUncertaintyNm ?? 0) / (100 * limitRad ** 2)).toBeCloseTo(0.149, 3);
  });

  it('has no term where no limit is stated', () => {
    expect(angleTerms(exactArm, 100)).toEqual([]);
  });
});
