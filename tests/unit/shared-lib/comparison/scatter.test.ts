import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import { oneWayAnova } from '../../../../shared-lib/comparison/anova.ts';
import {
  cautiousDegreesOfFreedom,
  welchSatterthwaite,
} from '../../../../shared-lib/comparison/combine-variances.ts';
import { twoWayResidual } from '../../../../shared-lib/comparison/complete-rounds.ts';
import type { ComparedTrial } from '../../../../shared-lib/comparison/comparison-model.ts';
import { estimateDifference } from '../../../../shared-lib/comparison/estimate-difference.ts';
import { observe, ownTrials } from '../../../../shared-lib/comparison/observations.ts';
import { pooledScatter } from '../../../../shared-lib/comparison/scatter.ts';
import { THIN_SPACE } from '../../../../shared-lib/format-quantity.ts';
import { meanOf, standardDeviationOf } from '../../../../shared-lib/comparison/sums.ts';
import { welch } from '../../../../shared-lib/comparison/welch.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import { madeBlock, madeRounds, madeTrial } from './made-trials.ts';

const differenceOf = (trials: readonly ComparedTrial[]) =>
  estimateDifference(observe(ownTrials(trials)), 'setup:a', 'setup:b', null, distributions);
const ln = (values: readonly number[]): number[] => values.map(Math.log);

// Hours of sleep gained by ten patients under two drugs.
const DRUG_1 = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2];
const DRUG_2 = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4];

describe('the scatter of complete rounds', () => {
  it('is that of the paired test for two: the sleep data of Student, t -4.0621 (R, from memory)', () => {
    const residual = twoWayResidual([DRUG_1, DRUG_2], distributions);
    const difference = meanOf(DRUG_1) - meanOf(DRUG_2);
    expect(difference).toBeCloseTo(-1.58, 12);
    expect(residual?.degreesOfFreedom).toBe(9);
    const standardError = Math.sqrt((2 * (residual?.variance ?? NaN)) / 10);
    expect(difference / standardError).toBeCloseTo(-4.0621, 4);
    const half = distributions.studentTQuantile(0.975, 9) * standardError;
    expect(difference - half).toBeCloseTo(-2.4598858, 6);
    expect(difference + half).toBeCloseTo(-0.7001142, 6);
  });

  it('is what an analysis of variance leaves when rounds and setups are taken out one after the other', () => {
    const random = createSeededRandom(3, 0);
    const rows = [0, 0.4, -0.2, 1].map((level) =>
      Array.from({ length: 5 }, (_, round) => level + 0.7 * round + random.gaussian()),
    );
    const residual = twoWayResidual(rows, distributions);
    const bySetup = oneWayAnova(rows, distributions);
    const rounds = [0, 1, 2, 3, 4].map((round) => rows.map((row) => row[round] ?? NaN));
    const byRound = oneWayAnova(rounds, distributions);
    const left = bySetup.withinSquares - byRound.betweenSquares;
    expect(residual?.degreesOfFreedom).toBe(12);
    expect((residual?.variance ?? NaN) * 12).toBeCloseTo(left, 10);
    expect(residual?.roundEffect.f).toBeCloseTo(byRound.betweenSquares / 4 / (left / 12), 10);
    expect(residual?.roundEffect.isClear).toBe(true);
  });

  it('does not see what moves all setups from round to round', () => {
    const still = differenceOf(madeRounds({ a: [500, 510, 505], b: [480, 470, 474] }));
    const moving = differenceOf(
      madeRounds({ a: [500, 510 * 1.2, 505 * 1.5], b: [480, 470 * 1.2, 474 * 1.5] }),
    );
    expect(moving?.scatter.way).toBe('rounds');
    expect(moving?.test?.standardError).toBeCloseTo(still?.test?.standardError ?? NaN, 12);
    expect(moving?.test?.difference).toBeCloseTo(still?.test?.difference ?? NaN, 12);
    expect(moving?.scatter.roundEffect?.isClear).toBe(true);
    expect(moving?.scatter.sentence).toContain('The rounds themselves differ');
  });

  it('takes in the other setups that stand in each of the rounds, with a degree of freedom per round more', () => {
    const found = differenceOf(
      madeRounds({ a: [500, 510, 505], b: [480, 470, 474], c: [300, 303, 299], d: [400, 402] }),
    );
    expect(found?.scatter).toMatchObject({ way: 'rounds', contenderCount: 3, degreesOfFreedom: 4 });
  });

  it('leaves out what lies outside of complete rounds', () => {
    const found = differenceOf(madeRounds({ a: [500, 510, 505], b: [480, 470, null] }));
    expect(found?.scatter).toMatchObject({ way: 'rounds', degreesOfFreedom: 1 });
    expect(found?.used).toHaveLength(4);
    expect(found?.test?.difference).toBeCloseTo(meanOf(ln([500, 510])) - meanOf(ln([480, 470])), 12);
  });

  it('takes the repeats of a round for one mean, and rounds of two sessions for different ones', () => {
    const repeated = [
      ...madeRounds({ a: [500, 510], b: [480, 470] }),
      ...madeRounds({ a: [504, 512], b: [481, 473] }, { from: 10 }),
    ];
    expect(differenceOf(repeated)?.scatter).toMatchObject({ way: 'rounds', degreesOfFreedom: 1 });
    const twoSessions = [
      ...madeRounds({ a: [500, 510], b: [480, 470] }),
      ...madeRounds({ a: [504, 512], b: [481, 473] }, { sessionId: 's2', from: 10 }),
    ];
    expect(differenceOf(twoSessions)?.scatter).toMatchObject({ way: 'rounds', degreesOfFreedom: 3 });
    expect(differenceOf(twoSessions)?.dayShare).toBe(0);
  });

  it('is not taken from values that are all alike', () => {
    const found = differenceOf(madeRounds({ a: [300, 300, 300], b: [350, 350, 350] }));
    expect(found?.scatter.way).toBe('none');
    expect(found?.test).toBeNull();
  });
});

describe('a difference', () => {
  it('is none where one of both was not pulled, whoever else was', () => {
    expect(differenceOf(madeRounds({ a: [500, 510], c: [300, 303] }))).toBeNull();
    expect(differenceOf(madeRounds({ b: [500, 510], c: [300, 303] }))).toBeNull();
  });
});

describe('the scatter without complete rounds', () => {
  it('is pooled from all setups where that gives eight degrees of freedom', () => {
    const a = [500, 510, 505];
    const b = [480, 470, 474];
    const c = [300, 304, 301, 298, 303];
    const found = differenceOf([
      ...madeBlock('a', a),
      ...madeBlock('b', b, { from: 3 }),
      ...madeBlock('c', c, { from: 6 }),
    ]);
    const { withinSquares, withinDf } = oneWayAnova([ln(a), ln(b), ln(c)], distributions);
    expect(withinDf).toBe(8);
    expect(found?.scatter).toMatchObject({ way: 'pooled', degreesOfFreedom: 8, contenderCount: 3 });
    expect(found?.scatter.standardDeviation).toBeCloseTo(Math.sqrt(withinSquares / 8), 12);
    expect(found?.test?.standardError).toBeCloseTo(Math.sqrt((withinSquares / 8) * (2 / 3)), 12);
    expect(found?.test?.degreesOfFreedom).toBeCloseTo(8, 10);
  });

  it("is each one's own (Welch) with fewer", () => {
    const a = [500, 510, 505];
    const b = [480, 470, 474, 476];
    const found = differenceOf([...madeBlock('a', a), ...madeBlock('b', b, { from: 3 })]);
    const expected = welch(ln(a), ln(b), distributions);
    expect(found?.scatter.way).toBe('welch');
    expect(found?.test?.standardError).toBeCloseTo(expected.standardError, 12);
    expect(found?.test?.degreesOfFreedom).toBeCloseTo(expected.degreesOfFreedom, 9);
  });

  it('of one who scatters clearly more is always its own, also in complete rounds, and nobody borrows it', () => {
    const wild = [500, 700, 400, 620];
    const calm = { b: [480, 481, 479, 480], c: [300, 301, 300, 299], d: [400, 401, 399, 400] };
    const withWild = differenceOf(madeRounds({ a: wild, ...calm }));
    expect(withWild?.scatter.way).toBe('welch');
    expect(withWild?.scatter.sentence).toContain('scatters clearly more');
    const others = differenceOf(madeRounds({ a: calm.c, b: calm.b, d: calm.d, wild }));
    expect(others?.scatter).toMatchObject({ way: 'rounds', contenderCount: 3 });
    expect(others?.scatter.standardDeviation).toBeLessThan(0.003);
  });

  it('of a single run is that of the others, however little it is known', () => {
    const found = differenceOf([...madeBlock('a', [500]), ...madeBlock('b', [480, 470, 474], { from: 1 })]);
    expect(found?.scatter).toMatchObject({ way: 'pooled', degreesOfFreedom: 2, contenderCount: 1 });
    expect(found?.isBorrowed).toBe(true);
    const s = standardDeviationOf(ln([480, 470, 474]));
    expect(found?.test?.standardError).toBeCloseTo(s * Math.sqrt(1 + 1 / 3), 12);
  });

  it('of a single run may come from two of another', () => {
    const found = differenceOf([...madeBlock('a', [500]), ...madeBlock('b', [480, 470], { from: 1 })]);
    expect(found?.scatter).toMatchObject({ way: 'pooled', degreesOfFreedom: 1, contenderCount: 1 });
    expect(found?.scatter.standardDeviation).toBeCloseTo(standardDeviationOf(ln([480, 470])), 12);
  });

  it('holds nothing of what lies between sessions', () => {
    const days = ['s1', 's2', 's3'].flatMap((sessionId, day) =>
      madeBlock(
        'a',
        [500, 505, 495].map((value) => value * 1.1 ** day),
        { sessionId, from: 10 * day },
      ),
    );
    const pooled = pooledScatter(days, distributions);
    expect(pooled?.degreesOfFreedom).toBe(6);
    expect(pooled?.standardDeviation).toBeCloseTo(standardDeviationOf(ln([500, 505, 495])), 12);
    expect(pooledScatter(madeBlock('a', [500]), distributions)).toBeNull();
  });
});

describe('what is said of the scatter', () => {
  const said = (trials: readonly ComparedTrial[]): string =>
    (differenceOf(trials)?.scatter.sentence ?? '').replaceAll(THIN_SPACE, ' ');

  it('names the way, the percentage, what it rests on, and whether the rounds differ', () => {
    // By hand, numpy and scipy: a standard deviation of |ln(500/480) - ln(530/500)| / 2; F on 1 and 1 degrees of freedom.
    expect(said(madeRounds({ a: [500, 530], b: [480, 500] }))).toBe(
      'Runs of one setup scatter by 0.87 % beside what their round has in common, from 2 complete rounds of 2 setups ' +
        '(one degree of freedom). The rounds do not differ by more than chance makes likely (F = 32.26, p = 0.111).',
    );
  });

  it('calls the repeats of a round means', () => {
    const repeated = [
      ...madeRounds({ a: [500, 510, 505], b: [480, 470, 490] }),
      ...madeRounds({ a: [504], b: [481] }, { from: 10 }),
    ];
    expect(said(repeated)).toMatch(
      /^Means of a round scatter by .* 3 complete rounds of 2 setups \(2 degrees of freedom\)/,
    );
  });

  it('names from how many setups runs that were taken together are', () => {
    expect(said([...madeBlock('a', [500]), ...madeBlock('b', [480, 470], { from: 1 })])).toBe(
      'Runs of one setup scatter by 1.49 % within a session, from the runs of one setup (one degree of freedom).',
    );
  });

  it('names the scatter of each where they are not taken together', () => {
    const apart = [...madeBlock('a', [500, 510, 505]), ...madeBlock('b', [480, 470, 474, 476], { from: 3 })];
    expect(said(apart)).toBe(
      'Each is taken with its own scatter from run to run, 0.99 % and 0.88 %, since there are too few runs to take them together.',
    );
  });
});

describe('trials that take part', () => {
  it('are those with a value above zero that nothing leaves out', () => {
    const trials = [
      madeTrial(0),
      madeTrial(1, { value: null }),
      madeTrial(2, { value: 0 }),
      madeTrial(3, { value: -4 }),
      madeTrial(4, { leftOutBecause: 'voided' }),
    ];
    expect(observe(ownTrials(trials)).map(({ trialId }) => trialId)).toEqual(['trial 0']);
    expect(ownTrials(trials)).toHaveLength(4);
  });

  it('are the reference pulls only of a tool that was pulled as nothing else', () => {
    const asReference = madeTrial(0, { isReference: true });
    const asSetup = madeTrial(1);
    const other = madeTrial(2, { isReference: true, contenderKey: 'setup:b' });
    expect(ownTrials([asReference, asSetup, other])).toEqual([asSetup, other]);
  });
});

describe('degrees of freedom of a sum of variances', () => {
  it('are those of the worked example of the GUM (H.1: 16.7, stated as 16)', () => {
    // Standard uncertainties in nm and degrees of freedom of table H.1, from memory.
    const parts = [
      [25, 18],
      [9.7, 25.6],
      [2.9, 50],
      [16.6, 2],
    ].map(([u = NaN, degreesOfFreedom = NaN]) => ({ variance: u ** 2, degreesOfFreedom }));
    expect(Math.floor(welchSatterthwaite(parts))).toBe(16);
  });

  it('are those of the parts that are above 0, and infinite where none is', () => {
    const none = { variance: 0, degreesOfFreedom: 0 };
    expect(welchSatterthwaite([none, { variance: 4, degreesOfFreedom: 5 }])).toBeCloseTo(5, 12);
    expect(welchSatterthwaite([{ variance: 1, degreesOfFreedom: 1 }])).toBe(1);
    expect(welchSatterthwaite([none])).toBe(Infinity);
    expect(cautiousDegreesOfFreedom([none], distributions)).toBe(Infinity);
    expect(cautiousDegreesOfFreedom([none, { variance: 4, degreesOfFreedom: 5 }], distributions)).toBeCloseTo(
      5,
      6,
    );
  });

  it('lie, taken with caution, between those of the parts and below those of Welch and Satterthwaite', () => {
    const parts = [
      { variance: 1, degreesOfFreedom: 12 },
      { variance: 1, degreesOfFreedom: 2 },
    ];
    const cautious = cautiousDegreesOfFreedom(parts, distributions);
    expect(cautious).toBeGreaterThan(2);
    expect(cautious).toBeLessThan(welchSatterthwaite(parts));
    const t = (nu: number): number => distributions.studentTQuantile(0.975, nu);
    expect(t(cautious)).toBeCloseTo((t(12) + t(2)) / 2, 6);
    // Whichever of both is the larger, also where one hardly knows anything and the other all.
    for (const [few, many, share] of [
      [1, 1e6, 0.5],
      [1, 1e6, 0.01],
      [1, 1e6, 0.99],
      [3, 4, 0.3],
      [2, 40, 0.9],
    ] as const) {
      const mixed = cautiousDegreesOfFreedom(
        [
          { variance: 7 * share, degreesOfFreedom: few },
          { variance: 7 * (1 - share), degreesOfFreedom: many },
        ],
        distributions,
      );
      expect(t(mixed) / (share * t(few) + (1 - share) * t(many))).toBeCloseTo(1, 6);
    }
    const [only] = parts;
    expect(cautiousDegreesOfFreedom(only === undefined ? [] : [only], distributions)).toBeCloseTo(12, 6);
  });
});
