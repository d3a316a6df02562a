import { compiled, ndtr } from 'cephes';
import { beforeAll, describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import { normalCdf } from '../../../../shared-lib/comparison/normal-distribution.ts';
import {
  noncentralTCdf,
  powerOfTTest,
  powerOfTost,
  roundsForPower,
} from '../../../../shared-lib/comparison/power.ts';
import { roundsToFind } from '../../../../shared-lib/run-sheet/plan-rounds.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import published from '../../../fixtures/reference-values/paired-t-power.json' with { type: 'json' };

beforeAll(async () => {
  await compiled;
});

describe('the normal distribution', () => {
  it('agrees with Cephes in both tails', () => {
    for (let x = -20; x <= 20; x += 0.13) {
      expect(Math.abs(normalCdf(x) - ndtr(x))).toBeLessThan(4e-16);
      expect(Math.abs(normalCdf(x) / ndtr(x) - 1)).toBeLessThan(x > -4 ? 1e-12 : 1e-7);
    }
    expect(normalCdf(0)).toBeCloseTo(0.5, 15);
    expect(normalCdf(-40)).toBe(0);
  });
});

describe('the power of a t test', () => {
  it('is 0.8689528 for 20 and 20 values one standard deviation apart (R, from memory), and the other side on top', () => {
    const t = distributions.studentTQuantile(0.975, 38);
    expect(1 - noncentralTCdf(t, 38, Math.sqrt(10))).toBeCloseTo(0.8689528, 7);
    const both = powerOfTTest(
      { difference: 1, standardError: Math.sqrt(2 / 20), degreesOfFreedom: 38 },
      0.95,
      distributions,
    );
    expect(both).toBeCloseTo(0.868953, 6);
    expect(both).toBeGreaterThan(0.8689528);
  });

  it.each(published.cases)(
    'is $power for $pairs pairs that differ by $difference (published)',
    ({ difference, standardDeviationOfDifferences, power, pairs }) => {
      const found = powerOfTTest(
        {
          difference,
          standardError: standardDeviationOfDifferences / Math.sqrt(pairs),
          degreesOfFreedom: pairs - 1,
        },
        0.95,
        distributions,
      );
      expect(found).toBeCloseTo(power, 5);
    },
  );

  it('is the level of the test where there is no difference, and the central t', () => {
    for (const degreesOfFreedom of [1, 2, 7.3, 200]) {
      const none = { difference: 0, standardError: 1, degreesOfFreedom };
      expect(powerOfTTest(none, 0.95, distributions)).toBeCloseTo(0.05, 10);
      expect(powerOfTTest(none, 0.975, distributions)).toBeCloseTo(0.025, 10);
      const t = distributions.studentTQuantile(0.9, degreesOfFreedom);
      expect(noncentralTCdf(t, degreesOfFreedom, 0)).toBeCloseTo(0.9, 10);
    }
  });
});

describe('the power to call two level', () => {
  // Two-by-two crossover, limits 0.8 to 1.25, true ratio 0.95: as a package for bioequivalence prints them.
  it.each([
    [0.3, 40, 0.815845],
    [0.2, 20, 0.83468],
  ])(
    'is that of published sample sizes: coefficient of variation %f, %i persons (from memory)',
    (cv, persons, power) => {
      const found = powerOfTost(
        {
          difference: Math.log(0.95),
          standardError: Math.sqrt(Math.log1p(cv ** 2) * (2 / persons)),
          degreesOfFreedom: persons - 2,
        },
        Math.log(1.25),
        0.95,
        distributions,
      );
      expect(found).toBeCloseTo(power, 5);
    },
  );

  it('is met by simulated comparisons', () => {
    const truth = { difference: 0.01, standardError: 0.012, degreesOfFreedom: 4 };
    const limit = Math.log(1.05);
    const t = distributions.studentTQuantile(0.95, 4);
    const random = createSeededRandom(4, 0);
    const COMPARISONS = 20_000;
    let level = 0;
    for (let index = 0; index < COMPARISONS; index += 1) {
      const difference = truth.difference + truth.standardError * random.gaussian();
      const chi2 = [1, 2, 3, 4].reduce((sum) => sum + random.gaussian() ** 2, 0);
      const half = t * truth.standardError * Math.sqrt(chi2 / 4);
      if (Math.abs(difference) + half < limit) level += 1;
    }
    const power = powerOfTost(truth, limit, 0.95, distributions);
    const error = Math.sqrt((power * (1 - power)) / COMPARISONS);
    expect(Math.abs(level / COMPARISONS - power)).toBeLessThan(3 * error);
  });

  it('is none where the limits are narrower than the scatter bears', () => {
    const truth = { difference: 0, standardError: 0.05, degreesOfFreedom: 1e9 };
    expect(powerOfTost(truth, 0.05, 0.95, distributions)).toBe(0);
  });
});

describe('the rounds that a difference takes', () => {
  const question = {
    setupCount: 3,
    scatter: 0.015,
    difference: Math.log(1.05),
    confidence: 0.95,
    power: 0.8,
    most: 30,
    lasting: [],
  };

  it('are those that the planning of a run sheet names', () => {
    for (const setupCount of [2, 3, 6]) {
      for (const scatter of [0.01, 0.02, 0.04]) {
        const exact = roundsForPower({ ...question, setupCount, scatter }, distributions);
        expect(exact).toBe(roundsToFind({ ...question, setupCount, scatter }, distributions));
      }
    }
  });

  it('are the fewest whose exact power is enough', () => {
    const rounds = roundsForPower({ ...question, scatter: 0.03 }, distributions) ?? NaN;
    const powerOf = (count: number): number =>
      powerOfTTest(
        {
          difference: question.difference,
          standardError: 0.03 * Math.sqrt(2 / count),
          degreesOfFreedom: 2 * (count - 1),
        },
        0.95,
        distributions,
      );
    expect(powerOf(rounds)).toBeGreaterThanOrEqual(0.8);
    expect(powerOf(rounds - 1)).toBeLessThan(0.8);
  });

  it('are more with an early look, and none where the days differ too much', () => {
    const scatter = 0.03;
    expect(roundsForPower({ ...question, scatter, confidence: 0.975 }, distributions)).toBeGreaterThan(
      roundsForPower({ ...question, scatter }, distributions) ?? NaN,
    );
    const day = { variance: 2 * 0.02 ** 2, degreesOfFreedom: 4 };
    expect(roundsForPower({ ...question, lasting: [day] }, distributions)).toBeNull();
  });
});
