import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import '../../../helpers/seed-of-chance.ts';
import { comparisonSchema } from '../../../../shared-lib/comparison/comparison-model.ts';
import { THIN_SPACE } from '../../../../shared-lib/format-quantity.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import { compared, comparing, madeBlock, madeRounds, madeTrial } from './made-trials.ts';

const CLEAR = madeRounds({ a: [560, 565, 555], b: [500, 502, 495], c: [300, 310, 303] });
const plain = (text: string): string => text.replaceAll(THIN_SPACE, ' ');

describe('a comparison of two', () => {
  it('says who is ahead, by how much, with the interval, and whether it is at least the margin', () => {
    const found = compared(CLEAR);
    expect(found.verdict).toBe('aheadByMargin');
    expect(plain(found.sentence)).toMatch(
      /^Hollin H5 is ahead of Tarnwick T6 by 12\.2 % in sustained torque \(95 %: 10\.\d to 14\.\d %\), at least the margin of 5 %\. Hollin H5: 560 N·m \(413 ft·lbf\); Tarnwick T6: 499 N·m \(368 ft·lbf\); difference 61\.0 N·m \(45\.0 ft·lbf\)\.$/,
    );
    expect(found.isProvisional).toBe(false);
    expect(found.isAcrossSessions).toBe(false);
    expect(found.a).toMatchObject({ count: 3, noValueCount: 0, sessionCount: 1, doneRounds: 3 });
    expect((found.a.mean ?? NaN) / (found.b.mean ?? NaN)).toBeCloseTo(found.ratio?.ratio ?? NaN, 12);
    expect(found.difference?.value).toBeCloseTo((found.a.mean ?? NaN) - (found.b.mean ?? NaN), 9);
    // Each bound of the difference and of the ratio belongs to the same pair of means.
    expect(found.difference?.low).toBeGreaterThan(0);
  });

  it('holds to the contract', () => {
    const { a, b, ...result } = compared(CLEAR);
    const picked = comparisonSchema.pick({
      verdict: true,
      isProvisional: true,
      sentence: true,
      cautions: true,
      isAcrossSessions: true,
      confidence: true,
      ratio: true,
      levelInterval: true,
      difference: true,
      standardErrorLn: true,
      degreesOfFreedom: true,
      scatter: true,
      dayToDay: true,
      effectSize: true,
      permutationP: true,
      roundsToDecide: true,
      checkpoints: true,
      leadStartsAtS: true,
    });
    expect(picked.parse(result)).toEqual(result);
    expect(a.count + b.count).toBe(6);
  });

  it('calls two level whose difference lies inside the margin, even where it is certain', () => {
    const level = compared(madeRounds({ a: [500, 504, 497], b: [500, 501, 499], c: [300, 303, 302] }));
    expect(level.verdict).toBe('level');
    expect(plain(level.sentence)).toMatch(
      /are level in sustained torque: .* \(90 %: .*\), inside the margin of 5 %/,
    );
    const certain = compared(
      madeRounds({ a: [510, 511, 510, 511], b: [500, 501, 500, 500], c: [300, 300.5, 300, 300] }),
      { plannedRounds: { a: 4, b: 4 } },
    );
    expect(certain.verdict).toBe('level');
    expect(plain(certain.sentence)).toContain('and the difference lies inside the margin of 5 %');
  });

  it('is too close to call, or ahead without the margin, where the interval says no more', () => {
    const close = compared(madeRounds({ a: [505, 530, 490], b: [500, 480, 515] }));
    expect(close.verdict).toBe('tooCloseToCall');
    expect(close.sentence).toContain('may be chance');
    const ahead = compared(
      madeRounds({ a: [526, 537, 532, 522], b: [500, 507, 511, 496], c: [300, 304, 305, 297] }),
    );
    expect(ahead.verdict).toBe('ahead');
    expect(ahead.sentence).toContain('though it may be less than the margin');
  });

  it('turns what is better short', () => {
    const words = { ...comparing([]).words, what: 'time to 90 %' };
    const found = compared(madeRounds({ a: [1.5, 1.6, 1.55], b: [2, 2.1, 2.07] }), { better: 'less', words });
    expect(found.verdict).toBe('aheadByMargin');
    expect(plain(found.sentence)).toContain(
      'Hollin H5 is ahead of Tarnwick T6 in time to 90 %: Tarnwick T6 takes 32.7 % longer',
    );
    expect(found.ratio?.ratio).toBeLessThan(1);
  });

  it('is wider, and level by a wider interval, where an early look was planned', () => {
    const one = compared(CLEAR);
    const early = compared(CLEAR, { confidence: 0.975 });
    expect(early.ratio?.low).toBeLessThan(one.ratio?.low ?? NaN);
    // 2 x 0.975 - 1: the interval of the other.
    expect(early.levelInterval?.low).toBeCloseTo(one.ratio?.low ?? NaN, 10);
    expect(plain(early.sentence)).toContain('(97.5 %: ');
  });

  it('takes the margin by factors, so that neither side has it easier', () => {
    const just = madeRounds({ a: [500, 500.1, 500.2], b: [476, 476.2, 476.1], c: [300, 300.1, 300.1] });
    const turned = madeRounds({ b: [500, 500.1, 500.2], a: [476, 476.2, 476.1], c: [300, 300.1, 300.1] });
    expect(compared(just).verdict).toBe('aheadByMargin');
    expect(compared(turned).verdict).toBe('behindByMargin');
  });
});

describe('a comparison that lacks runs', () => {
  it('needs more with one of each, with none, and where all read alike', () => {
    const single = compared(madeRounds({ a: [500], b: [480] }));
    expect(single.verdict).toBe('needsMoreRuns');
    expect(single.sentence).toContain('with one run of each nothing is known');
    expect(single.ratio).toBeNull();
    expect(single.roundsToDecide).toBeNull();
    expect(single.a.mean).toBeCloseTo(500, 10);

    const none = compared(madeRounds({ a: [500, 501], b: [null, null] }));
    expect(none.verdict).toBe('needsMoreRuns');
    expect(none.sentence).toContain('Tarnwick T6 has no sustained torque in 2 runs');
    expect(none.b).toMatchObject({ count: 0, noValueCount: 2, mean: null, scatter: null });
    expect(none.cautions.join(' ')).toContain('2 runs have no sustained torque and are not compared');

    const alike = compared(madeRounds({ a: [300, 300], b: [350, 350] }));
    expect(alike.verdict).toBe('needsMoreRuns');
    expect(alike.sentence).toContain('do not show how runs scatter');
    expect(compared([]).sentence).toContain('Hollin H5 has no run that counts');
  });

  it('takes the scatter of the others for a single run, and says so', () => {
    const found = compared([
      ...madeRounds({ a: [560], b: [500] }),
      ...madeBlock('c', [300, 304, 302, 299, 301], { from: 5 }),
      ...madeBlock('d', [400, 404, 402, 399, 401], { from: 11 }),
    ]);
    expect(found.scatter).toMatchObject({ way: 'pooled', degreesOfFreedom: 8 });
    expect(found.verdict).toBe('aheadByMargin');
    expect(found.cautions.join(' ')).toContain(
      'Hollin H5 and Tarnwick T6: one run in a session says nothing of its scatter',
    );

    // A run without a value in another session makes two sessions of it, and still one run.
    const withNothing = compared([
      ...madeRounds({ a: [560], b: [500] }),
      ...madeBlock('c', [300, 304, 302, 299, 301], { from: 5 }),
      madeTrial(20, { sessionId: 's2', value: null }),
    ]);
    expect(withNothing.cautions.filter((caution) => caution.startsWith(':'))).toEqual([]);
    expect(withNothing.cautions.join(' ')).toContain('Hollin H5 and Tarnwick T6: one run in a session');
  });

  it('is provisional before the planned rounds are done, and says where no plan fixed them', () => {
    const early = compared(CLEAR, { plannedRounds: { a: 5, b: 5 } });
    expect(early.isProvisional).toBe(true);
    expect(early.sentence).toContain('Provisional: 3 of 5 planned rounds done.');
    const unplanned = compared(CLEAR, { plannedRounds: { a: null, b: 3 } });
    expect(unplanned.isProvisional).toBe(false);
    // Three rounds of each were pulled; one of both that is to come is enough.
    for (const [a, b, isProvisional] of [
      [4, 3, true],
      [3, 4, true],
      [4, null, true],
      [null, 4, true],
      [3, null, false],
      [null, null, false],
    ] as const) {
      expect(compared(CLEAR, { plannedRounds: { a, b } }).isProvisional, `${a} and ${b}`).toBe(isProvisional);
    }
    expect(unplanned.cautions.join(' ')).toContain(
      'No plan fixed beforehand how many runs Hollin H5 would have',
    );
  });
});

describe('what is to be known beside a comparison', () => {
  const days = [
    ...madeBlock('a', [560, 565, 555]),
    ...madeBlock('b', [500, 502, 495], { sessionId: 's2', from: 3 }),
  ];

  it('is always that the calibration is static', () => {
    expect(compared(CLEAR).cautions.join(' ')).toContain('Static calibration; dynamic error not included.');
  });

  it('is that the scatter of the days is unknown, which keeps the margin out', () => {
    const found = compared(days);
    expect(found.verdict).toBe('ahead');
    expect(found.isAcrossSessions).toBe(true);
    expect(found.sentence).toContain('Across sessions, day-to-day scatter unknown');
    expect(found.dayToDay?.standardDeviation).toBeNull();
    expect(found.permutationP).toBeNull();
  });

  it('is the scatter of the days where it is known, which widens the interval', () => {
    const found = compared(days, { dayToDay: { standardDeviation: 0.004, degreesOfFreedom: 9 } });
    expect(found.verdict).toBe('aheadByMargin');
    expect(plain(found.cautions.join(' '))).toContain(
      'moves by 0.40 % from day to day (9 degrees of freedom)',
    );
    expect(found.standardErrorLn).toBeGreaterThan(compared(days).standardErrorLn ?? NaN);
    const wide = compared(days, { dayToDay: { standardDeviation: 0.05, degreesOfFreedom: 9 } });
    expect(wide.verdict).toBe('tooCloseToCall');
    expect(wide.roundsToDecide?.rounds).toBeNull();
    expect(wide.roundsToDecide?.sentence).toContain('pull both in one session');
  });

  it('is that all runs of one stood in an unbroken block', () => {
    const block = compared([
      ...madeBlock('a', [560, 565, 555]),
      ...madeBlock('b', [500, 502, 495], { from: 3 }),
    ]);
    expect(block.cautions.join(' ')).toContain('Hollin H5 and Tarnwick T6: all runs in one unbroken block');
    expect(compared(CLEAR).cautions.join(' ')).not.toContain('unbroken');
  });

  it('is what lies outside of complete rounds, and that the benches differ', () => {
    const found = compared(madeRounds({ a: [560, 565, 555], b: [500, 502, null] }), { isLikeForLike: false });
    const cautions = found.cautions.join(' ');
    expect(cautions).toContain('One run lies outside of complete rounds and is shown, not compared.');
    expect(cautions).toContain('Not like for like');
    expect(found.sentence).toContain('Not like for like.');
    expect(found.a.count).toBe(2);
  });
});

describe('effect size, permutation and rounds', () => {
  it('are given from five, four and two runs on', () => {
    const rounds = (count: number) =>
      madeRounds({
        a: [560, 565, 555, 561, 563].slice(0, count),
        b: [500, 502, 495, 499, 503].slice(0, count),
      });
    expect(compared(rounds(3)).permutationP).toBeNull();
    expect(compared(rounds(4)).permutationP).toBeCloseTo(2 / 70, 12);
    expect(compared(rounds(4)).effectSize).toBeNull();
    expect(compared(rounds(5)).effectSize).toBeGreaterThan(5);
    expect(compared(rounds(5)).permutationP).toBeCloseTo(2 / 252, 12);
    expect(compared(rounds(3)).roundsToDecide).toMatchObject({ rounds: 2 });
  });

  it('name the rounds from the margin, whatever the difference that was found', () => {
    const far = compared(madeRounds({ a: [560, 580, 545], b: [400, 405, 410] }));
    const near = compared(madeRounds({ a: [560, 580, 545], b: [500, 506.25, 512.5] }));
    expect(far.roundsToDecide).toEqual(near.roundsToDecide);
    expect(plain(far.roundsToDecide?.sentence ?? '')).toContain(
      'a true difference of 5 % in four of five cases',
    );
  });
});

describe('any comparison', () => {
  const value = fc.double({ min: 100, max: 900, noNaN: true });
  const rounds = fc.tuple(
    fc.array(value, { minLength: 2, maxLength: 5 }),
    fc.array(value, { minLength: 2, maxLength: 5 }),
    fc.array(value, { minLength: 0, maxLength: 5 }),
  );
  const mirrored = {
    aheadByMargin: 'behindByMargin',
    behindByMargin: 'aheadByMargin',
    ahead: 'behind',
    behind: 'ahead',
    level: 'level',
    tooCloseToCall: 'tooCloseToCall',
    needsMoreRuns: 'needsMoreRuns',
  };

  it('is mirrored when both change sides', () => {
    fc.assert(
      fc.property(rounds, ([a, b, c]) => {
        const trials = madeRounds({ a, b, c });
        const one = compared(trials);
        const other = compared(trials, { a: 'setup:b', b: 'setup:a' });
        expect(other.verdict).toBe(mirrored[one.verdict]);
        expect(other.ratio?.low ?? 1).toBeCloseTo(1 / (one.ratio?.high ?? 1), 8);
        expect(other.permutationP).toEqual(one.permutationP);
        expect(other.difference?.value ?? 0).toBeCloseTo(-(one.difference?.value ?? 0), 6);
      }),
      { numRuns: 60 },
    );
  });

  it('does not depend on the unit', () => {
    fc.assert(
      fc.property(rounds, fc.constantFrom(0.7375621, 10.1971621), ([a, b, c], factor) => {
        const scaled = (values: readonly number[]): number[] => values.map((torque) => factor * torque);
        const one = compared(madeRounds({ a, b, c }));
        const other = compared(madeRounds({ a: scaled(a), b: scaled(b), c: scaled(c) }));
        expect(other.verdict).toBe(one.verdict);
        expect(other.ratio?.high ?? 1).toBeCloseTo(one.ratio?.high ?? 1, 6);
      }),
      { numRuns: 40 },
    );
  });

  it('of equal tools in ABBA order calls one ahead in at most 5 % of cases, drift or not', () => {
    const COMPARISONS = 300;
    let apart = 0;
    for (const driftPerPull of [0, 0.005]) {
      const random = createSeededRandom(1, Math.round(1000 * driftPerPull));
      for (let index = 0; index < COMPARISONS; index += 1) {
        let pull = 0;
        const next = (): number => 500 * Math.exp(driftPerPull * pull++ + 0.015 * random.gaussian());
        const values: Record<'a' | 'b', number[]> = { a: [], b: [] };
        for (const key of ['a', 'b', 'b', 'a', 'a', 'b'] as const) values[key].push(next());
        const { verdict } = compared(madeRounds(values));
        if (verdict !== 'level' && verdict !== 'tooCloseToCall') apart += 1;
      }
    }
    const all = 2 * COMPARISONS;
    expect(apart / all).toBeLessThan(0.05 + 3 * Math.sqrt((0.05 * 0.95) / all));
  });
});
