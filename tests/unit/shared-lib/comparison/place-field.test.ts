import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import type { ComparedTrial } from '../../../../shared-lib/comparison/comparison-model.ts';
import { placeField } from '../../../../shared-lib/comparison/place-field.ts';
import { studentizedRangeQuantile } from '../../../../shared-lib/comparison/studentized-range.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import { madeBlock, madeRounds, madeTrial } from './made-trials.ts';

const placed = (trials: readonly ComparedTrial[], change: Partial<Parameters<typeof placeField>[0]> = {}) => {
  const keys = [...new Set(trials.map(({ contenderKey }) => contenderKey))];
  return placeField({ trials, keys, better: 'more', ...change }, distributions);
};
const rangesOf = ({ places }: ReturnType<typeof placed>) =>
  Object.fromEntries(
    places.map(({ key, place, bestPlace, worstPlace }) => [key.slice(6), [place, bestPlace, worstPlace]]),
  );

const FIELD = { a: [560, 565, 555], b: [500, 502, 496], c: [499, 510, 503], d: [400, 404, 398] };

describe('the places of a field', () => {
  it('have a range from 1 more than those clearly better to all but those clearly worse', () => {
    const found = placed(madeRounds(FIELD));
    expect(found.places.map(({ key }) => key.slice(6))).toEqual(['a', 'c', 'b', 'd']);
    expect(rangesOf(found)).toEqual({ a: [1, 1, 1], c: [2, 2, 3], b: [3, 2, 3], d: [4, 4, 4] });
    expect(found.places[1]?.notSeparatedFrom).toEqual(['setup:b']);
    expect(found.scatter).toMatchObject({ way: 'rounds', degreesOfFreedom: 6, contenderCount: 4 });
    expect(found.cautions).toEqual([]);
  });

  it('turn round where less is better', () => {
    expect(rangesOf(placed(madeRounds(FIELD), { better: 'less' }))).toEqual({
      d: [1, 1, 1],
      b: [2, 2, 3],
      c: [3, 2, 3],
      a: [4, 4, 4],
    });
  });

  it('are separated exactly from the critical difference of Tukey on', () => {
    // Two rounds in which all scatter alike; the third is moved across the critical difference.
    const rows = [-0.01, 0.01, -0.01, 0.01, -0.01].map((scatter) => [scatter, -scatter]);
    const trials = (offset: number) =>
      madeRounds(
        Object.fromEntries(
          rows.map((row, index) => [
            'abcde'.charAt(index),
            row.map((ln) => 500 * Math.exp((index === 2 ? offset : 0) + ln)),
          ]),
        ),
      );
    const { scatter } = placed(trials(0));
    const critical =
      studentizedRangeQuantile(0.95, 5, scatter.degreesOfFreedom ?? NaN) *
      (scatter.standardDeviation ?? NaN) *
      Math.sqrt(1 / 2);
    expect(scatter).toMatchObject({ way: 'rounds', degreesOfFreedom: 4 });
    expect(rangesOf(placed(trials(critical * 0.999)))['c']).toEqual([1, 1, 5]);
    expect(rangesOf(placed(trials(critical * 1.001)))['c']).toEqual([1, 1, 1]);
  });

  it.each([
    [8, 14],
    [32, 60],
    [36, 60],
    [504, 1000],
  ])(
    'of three in %i rounds go by %i degrees of freedom, rounded down for the critical value',
    (rounds, rounded) => {
      // All scatter alike, in a pattern of four rounds that has no mean; the third is moved.
      const signs = [
        [1, -1, 1, -1],
        [-1, 1, 1, -1],
        [1, 1, -1, -1],
      ];
      const trials = (offset: number) =>
        madeRounds(
          Object.fromEntries(
            signs.map((ofRound, index) => [
              'abc'.charAt(index),
              Array.from(
                { length: rounds },
                (_, round) => 500 * Math.exp((index === 2 ? offset : 0) + 0.01 * (ofRound[round % 4] ?? NaN)),
              ),
            ]),
          ),
        );
      const { scatter } = placed(trials(0));
      expect(scatter).toMatchObject({ way: 'rounds', degreesOfFreedom: 2 * (rounds - 1) });
      const critical =
        (studentizedRangeQuantile(0.95, 3, rounded) * (scatter.standardDeviation ?? NaN)) / Math.sqrt(rounds);
      expect(rangesOf(placed(trials(critical * 0.9999)))['c']).toEqual([1, 1, 3]);
      expect(rangesOf(placed(trials(critical * 1.0001)))['c']).toEqual([1, 1, 1]);
    },
  );

  it('share a place where the means are alike', () => {
    const found = placed(madeRounds({ a: [500, 510], b: [510, 500], c: [400, 404], d: [300, 306] }));
    expect(found.places.map(({ place }) => place)).toEqual([1, 1, 3, 4]);
  });

  it('have no range where too little is known of the scatter', () => {
    const found = placed(madeRounds({ a: [560, 565], b: [500, 502] }));
    expect(rangesOf(found)).toEqual({ a: [1, null, null], b: [2, null, null] });
    expect(found.places[0]?.notSeparatedFrom).toEqual(['setup:b']);
    expect(found.cautions.join(' ')).toContain('fewer than 3 degrees of freedom');
    // Four rounds of two leave three, and one alone is not held against anybody.
    expect(rangesOf(placed(madeRounds({ a: [560, 565, 563, 561], b: [400, 402, 399, 403] })))).toEqual({
      a: [1, 1, 1],
      b: [2, 2, 2],
    });
    expect(placed(madeRounds({ a: [560, 565] })).cautions).toEqual([]);
    expect(rangesOf(placed(madeRounds({ a: [560], b: [500] })))).toEqual({
      a: [1, null, null],
      b: [2, null, null],
    });
  });

  it('are pooled from the runs of each where there are no rounds that all stand in', () => {
    const found = placed([
      ...madeBlock('a', [560, 565, 555]),
      ...madeBlock('b', [500, 502, 496], { from: 3 }),
      ...madeBlock('c', [499], { from: 6 }),
    ]);
    expect(found.scatter).toMatchObject({ way: 'pooled', degreesOfFreedom: 4 });
    expect(rangesOf(found)).toEqual({ a: [1, 1, 1], b: [2, 2, 3], c: [3, 2, 3] });
  });

  it('of one who scatters clearly more rest on its own scatter', () => {
    const found = placed(madeRounds({ ...FIELD, wild: [300, 420, 250] }));
    expect(found.cautions.join(' ')).toContain('One setup scatters clearly more than the others');
    // With so few degrees of freedom it could have any place.
    expect(rangesOf(found)['wild']).toEqual([5, 1, 5]);
    expect(rangesOf(found)['a']).toEqual([1, 1, 2]);
    // The even ones are told apart as before.
    expect(found.places.find(({ key }) => key === 'setup:a')?.notSeparatedFrom).not.toContain('setup:b');
  });

  it('carry the scatter of the days, and tell nobody of different days apart where that is unknown', () => {
    const days = ['d1', 'd2', 'd3', 'd4'].map((sessionId, day) =>
      madeBlock('abcd'.charAt(day), FIELD[['a', 'b', 'c', 'd'][day] as keyof typeof FIELD], {
        sessionId,
        from: 10 * day,
      }),
    );
    const unknown = placed(days.flat());
    expect(unknown.cautions.join(' ')).toContain('day-to-day scatter unknown');
    expect(rangesOf(unknown)).toEqual({ a: [1, 1, 4], c: [2, 1, 4], b: [3, 1, 4], d: [4, 1, 4] });
    const known = placed(days.flat(), { dayToDay: { standardDeviation: 0.1, degreesOfFreedom: 8 } });
    expect(rangesOf(known)['a']).toEqual([1, 1, 4]);
    expect(known.cautions.join(' ')).toContain('from day to day');
  });

  it('of two days go by the t of Cochran and Cox, its degrees of freedom rounded down to a quarter', () => {
    // Eleven pulls a day whose ln scatters by 0.01 with 20 degrees of freedom in all: a variance of 2e-4 / 11 of the difference of means.
    // As much again comes of the days, known by 3 degrees of freedom. The mean of their t, 2.086 and 3.182 (table), is 2.634: that of 4.6
    // degrees, rounded down 4.5. It lies between the table's 2.571 (5) and 2.776 (4); by Welch and Satterthwaite it would be 2.228 (10).
    const pattern = [1, -1, 1, -1, 1, -1, 1, -1, 1, -1, 0].map((sign) => 0.01 * sign);
    const error = Math.sqrt((2 * 2e-4) / 11);
    const at = (lead: number, degreesOfFreedom = 3) =>
      rangesOf(
        placed(
          [
            madeBlock(
              'a',
              pattern.map((ln) => 500 * Math.exp(lead * error + ln)),
              { sessionId: 'd1' },
            ),
            madeBlock(
              'b',
              pattern.map((ln) => 500 * Math.exp(ln)),
              { sessionId: 'd2', from: 20 },
            ),
          ].flat(),
          { dayToDay: { standardDeviation: 0.01 / Math.sqrt(11), degreesOfFreedom } },
        ),
      )['a'];
    expect(at(2.5)).toEqual([1, 1, 2]);
    expect(at(2.74)).toEqual([1, 1, 1]);
    // Known by 8 degrees (2.306): the mean, 2.196, is that of 11.2, rounded down 11 (2.201) and not up to 12 (2.179).
    expect(at(2.19, 8)).toEqual([1, 1, 2]);
    expect(at(2.21, 8)).toEqual([1, 1, 1]);
  });

  it('leave out whoever has no value, and count such runs', () => {
    const found = placed([
      ...madeRounds(FIELD),
      madeTrial(90, { contenderKey: 'setup:e', value: null }),
      madeTrial(91, { contenderKey: 'setup:f', leftOutBecause: 'voided' }),
    ]);
    expect(found.places).toHaveLength(4);
    expect(found.cautions.join(' ')).toContain('One run has no value of this measure and is not compared');
  });

  it('of ten equal tools at three rounds hold all places at once in at least 93 % of cases', () => {
    const FIELDS = 200;
    const random = createSeededRandom(10, 0);
    const keys = 'a b c d e f g h i j'.split(' ');
    let held = 0;
    for (let field = 0; field < FIELDS; field += 1) {
      const values = keys.map(
        (key) => [key, [1, 2, 3].map(() => 500 * Math.exp(0.015 * random.gaussian()))] as const,
      );
      const { places } = placed(madeRounds(Object.fromEntries(values)));
      if (places.every(({ bestPlace, worstPlace }) => bestPlace === 1 && worstPlace === 10)) held += 1;
    }
    expect(held / FIELDS).toBeGreaterThan(0.93 - 2 * Math.sqrt((0.93 * 0.07) / FIELDS));
    expect(held / FIELDS).toBeLessThan(1);
  }, 30_000);
});
