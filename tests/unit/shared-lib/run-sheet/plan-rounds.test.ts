import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import {
  leastDifference,
  planRounds,
  roundsToFind,
  type RoundsQuestion,
} from '../../../../shared-lib/run-sheet/plan-rounds.ts';
import { runSheetRequests } from '../../../../shared-lib/run-sheet/run-sheet-requests.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import published from '../../../fixtures/reference-values/paired-t-power.json' with { type: 'json' };
import { demoPlan, planStep } from './demo-setups.ts';

const question = (change: Partial<RoundsQuestion> = {}): RoundsQuestion => ({
  plan: demoPlan(),
  setupCount: 3,
  hasReference: false,
  minutesAtHand: 120,
  scatterPercent: 1.5,
  marginPercent: 5,
  ...change,
});
const answer = (change: Partial<RoundsQuestion> = {}) => planRounds(question(change), distributions);

/** Share of seeded days on which the two-sided 95 % test tells the first two setups apart, by the two-way residual. */
function powerBySimulation(setupCount: number, rounds: number, ratio: number): number {
  const DAYS = 4000;
  const random = createSeededRandom(rounds, setupCount);
  const t = distributions.studentTQuantile(0.975, (setupCount - 1) * (rounds - 1));
  let found = 0;
  for (let day = 0; day < DAYS; day += 1) {
    // Rows: rounds, whose own level (a drift, say) falls on all setups; the first setup is better by 1, s is `ratio`.
    const rows = Array.from({ length: rounds }, () => {
      const level = random.gaussian();
      return Array.from(
        { length: setupCount },
        (_, setup) => level + (setup === 0 ? 1 : 0) + ratio * random.gaussian(),
      );
    });
    const mean = (values: readonly number[]): number =>
      values.reduce((sum, value) => sum + value, 0) / values.length;
    const setupMeans = Array.from({ length: setupCount }, (_, setup) =>
      mean(rows.map((row) => row[setup] ?? NaN)),
    );
    const total = mean(setupMeans);
    let squares = 0;
    for (const row of rows) {
      for (const [setup, value] of row.entries()) {
        squares += (value - mean(row) - (setupMeans[setup] ?? NaN) + total) ** 2;
      }
    }
    const scatter = Math.sqrt(squares / ((setupCount - 1) * (rounds - 1)));
    const difference = (setupMeans[0] ?? NaN) - (setupMeans[1] ?? NaN);
    if (Math.abs(difference) > t * scatter * Math.sqrt(2 / rounds)) found += 1;
  }
  return found / DAYS;
}

describe('the rounds that a difference takes', () => {
  it('are the pairs of a published example: 10 beside a scatter of 10 with 85 % power takes 20 (Dalgaard, R)', () => {
    const [example] = published.cases;
    expect(example?.pairs).toBeCloseTo(19.96892, 5);
    expect(
      roundsToFind({ setupCount: 2, scatter: 10, difference: 10, power: 0.85, most: 30 }, distributions),
    ).toBe(Math.ceil(example?.pairs ?? NaN));
  });

  it.each(published.cases.filter(({ power }) => power < 0.95))(
    'find with power $power the difference of $difference of other published examples, within 2 %',
    ({ difference, standardDeviationOfDifferences, power, pairs }) => {
      const found = leastDifference(
        {
          setupCount: 2,
          rounds: Math.ceil(pairs),
          scatter: standardDeviationOfDifferences / Math.SQRT2,
          power,
        },
        distributions,
      );
      expect(found / difference).toBeGreaterThan(0.98);
      expect(found / difference).toBeLessThan(1.02);
    },
  );

  it('are too many rather than too few where the power asked for is far beyond 80 %', () => {
    const [example] = published.cases.filter(({ power }) => power > 0.95);
    const found = leastDifference(
      {
        setupCount: 2,
        rounds: example?.pairs ?? NaN,
        scatter: (example?.standardDeviationOfDifferences ?? NaN) / Math.SQRT2,
        power: example?.power ?? NaN,
      },
      distributions,
    );
    expect(found).toBeGreaterThan(example?.difference ?? NaN);
  });

  it('solve the iteration of the e-Handbook, 7.2.2.2 (from memory): no fewer rounds would do', () => {
    for (const setupCount of [2, 3, 5]) {
      for (const ratio of [0.2, 0.5, 1]) {
        const rounds = roundsToFind(
          { setupCount, scatter: ratio, difference: 1, power: 0.8, most: 30 },
          distributions,
        );
        const needed = (trial: number): number => {
          const nu = (setupCount - 1) * (trial - 1);
          const t = distributions.studentTQuantile(0.975, nu) + distributions.studentTQuantile(0.8, nu);
          return 2 * (ratio * t) ** 2;
        };
        expect(rounds).not.toBeNull();
        expect(rounds ?? NaN).toBeGreaterThanOrEqual(needed(rounds ?? NaN));
        if (rounds !== null && rounds > 2) expect(rounds - 1).toBeLessThan(needed(rounds - 1));
      }
    }
  });

  it.each([
    [2, 0.3],
    [2, 1],
    [3, 0.5],
    [4, 0.8],
    [6, 0.5],
  ])(
    'find it on at least four of five simulated days, and one round less does not: %i setups, s %f',
    (setupCount, ratio) => {
      const rounds = roundsToFind(
        { setupCount, scatter: ratio, difference: 1, power: 0.8, most: 30 },
        distributions,
      );
      expect(rounds).not.toBeNull();
      // 4000 days: a standard deviation of 0.6 %.
      expect(powerBySimulation(setupCount, rounds ?? NaN, ratio)).toBeGreaterThan(0.785);
      expect(powerBySimulation(setupCount, (rounds ?? NaN) - 1, ratio)).toBeLessThan(0.815);
    },
  );

  it('grow with the scatter and with a smaller margin, and are null where no sheet has so many', () => {
    expect(answer().roundsNeeded).toBe(3);
    expect(answer({ scatterPercent: 3 }).roundsNeeded).toBeGreaterThan(5);
    expect(answer({ marginPercent: 2 }).roundsNeeded).toBeGreaterThan(5);
    const hopeless = answer({ scatterPercent: 20, marginPercent: 2 });
    expect(hopeless.roundsNeeded).toBeNull();
    expect(hopeless.sentences[0]).toContain('More than 30 rounds');
  });
});

describe('the rounds that fit', () => {
  it('are fewer with longer rests only where nothing else is pulled meanwhile', () => {
    const resting = (restS: number) => demoPlan({ steps: [planStep({ restS })] });
    // Five others take far longer than 90 s, so that a rest of 90 s costs next to nothing.
    expect(answer({ setupCount: 6, plan: resting(90) }).roundS).toBeCloseTo(
      answer({ setupCount: 6, plan: resting(0) }).roundS,
      -1,
    );
    const threeSteps = (restS: number) =>
      demoPlan({ steps: [5, 6, 7].map((plannedS) => planStep({ plannedS, restS })) });
    expect(answer({ plan: threeSteps(90) }).roundsThatFit).toBeLessThan(
      answer({ plan: threeSteps(0) }).roundsThatFit,
    );
  });

  it('take reference and conditioning pulls into account', () => {
    const plan = demoPlan({ conditioningPulls: 1, reference: { atStart: 3, perRound: 1, atEnd: 3 } });
    const without = answer({ plan, hasReference: false, minutesAtHand: 30 });
    const withReference = answer({ plan, hasReference: true, minutesAtHand: 30 });
    expect(withReference.roundS).toBeGreaterThan(without.roundS);
    expect(withReference.roundsThatFit).toBeLessThan(without.roundsThatFit);
    expect(withReference.sentences[1]).toContain('its reference pulls');
    expect(answer({ hasReference: true }).sentences[1]).not.toContain('reference');
  });

  it('are 0 where not even one fits, and at most as many as a plan can have', () => {
    const none = answer({ minutesAtHand: 1 });
    expect(none.roundsThatFit).toBe(0);
    expect(none.sentences.join(' ')).toContain('Not even one round fits');
    const day = answer({ minutesAtHand: 1440, setupCount: 2 });
    expect(day.roundsThatFit).toBe(30);
    expect(day.sentences.join(' ')).toContain('At least 30 rounds fit');
  });

  it('are told beside what they find, and where they are too few', () => {
    const short = answer({ minutesAtHand: 11, scatterPercent: 3 });
    expect(short.roundsThatFit).toBeLessThan(short.roundsNeeded ?? 0);
    expect(short.roundsThatFit).toBeGreaterThanOrEqual(2);
    expect(short.sentences.join(' ')).toMatch(
      /they find true differences from \d+\.\d.% up\. That is too short/,
    );
    expect(answer({ minutesAtHand: 5 }).sentences.join(' ')).toContain('One round fits');
  });

  it('say so where one sheet does not take so many pulls, and hold to the contract', () => {
    const plan = demoPlan({ steps: [planStep({ repeats: 20 })], roundsToPublish: 5 });
    const many = answer({ plan, setupCount: 20 });
    expect(many.sentences.join(' ')).toContain('several sheets');
    expect(many.sentences.join(' ')).toContain('The plan wants 5 rounds');
    expect(runSheetRequests.planRounds.result.parse(many)).toEqual(many);
  });
});
