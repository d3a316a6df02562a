import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import { dayToDaySentence, estimateDayToDay } from '../../../../shared-lib/comparison/day-to-day.ts';
import { dayShare, sessionShares } from '../../../../shared-lib/comparison/session-shares.ts';
import { standardDeviationOf } from '../../../../shared-lib/comparison/sums.ts';
import { observe } from '../../../../shared-lib/comparison/observations.ts';
import { estimateDifference } from '../../../../shared-lib/comparison/estimate-difference.ts';
import { THIN_SPACE } from '../../../../shared-lib/format-quantity.ts';
import { intervalOf } from '../../../../shared-lib/comparison/welch.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import { madeBlock, madeTrial } from './made-trials.ts';

const days = (key: string, values: readonly number[], from = 0, name = 'd') =>
  values.map((value, day) =>
    madeTrial(from + day, { contenderKey: `setup:${key}`, sessionId: `${name}${String(day)}`, value }),
  );

describe('the scatter from day to day', () => {
  it('is the standard deviation of the means of the days', () => {
    const trials = [
      ...madeBlock('a', [500, 500], { sessionId: 'd1' }),
      ...madeBlock('a', [510, 510], { sessionId: 'd2', from: 2 }),
      ...madeBlock('a', [490, 490], { sessionId: 'd3', from: 4 }),
    ];
    expect(estimateDayToDay(trials)?.standardDeviation).toBeCloseTo(
      standardDeviationOf([500, 510, 490].map(Math.log)),
      12,
    );
    expect(estimateDayToDay(trials)?.degreesOfFreedom).toBe(2);
  });

  it('is not known from two days, from left-out trials, or from runs without a value', () => {
    expect(estimateDayToDay(days('a', [500, 510]))).toBeNull();
    const three = days('a', [500, 510, 490]);
    expect(estimateDayToDay(three)).not.toBeNull();
    expect(
      estimateDayToDay(
        three.map((trial, day) => (day === 0 ? { ...trial, leftOutBecause: 'voided' } : trial)),
      ),
    ).toBeNull();
    expect(
      estimateDayToDay(three.map((trial, day) => (day === 0 ? { ...trial, value: null } : trial))),
    ).toBeNull();
  });

  it('takes sessions of one day for one, and says nothing where a day began anew three times', () => {
    const afternoon = days('a', [500, 510, 490, 505]).map((trial, place) => ({
      ...trial,
      startedAt: `2026-03-02T1${String(place)}:00:00.000Z`,
    }));
    expect(estimateDayToDay(afternoon)).toBeNull();
    expect(estimateDayToDay(afternoon, 'session')?.degreesOfFreedom).toBe(3);
    // Two more days, the second of them late in the evening and on after midnight.
    const at = (value: number, sessionId: string, startedAt: string) => ({
      ...madeTrial(0, { sessionId, value }),
      startedAt,
    });
    const later = [
      at(520, 'e1', '2026-03-03T21:00:00.000Z'),
      at(480, 'e2', '2026-03-04T04:59:00.000Z'),
      at(530, 'e3', '2026-03-04T12:59:00.000Z'),
    ];
    const known = estimateDayToDay([...later, ...afternoon]);
    expect(known?.degreesOfFreedom).toBe(2);
    const means = [[500, 510, 490, 505], [520, 480], [530]].map(
      (values) => values.map(Math.log).reduce((sum, ln) => sum + ln, 0) / values.length,
    );
    expect(known?.standardDeviation).toBeCloseTo(standardDeviationOf(means), 12);
  });

  it('goes by the first and the last pull of a session, in whatever order they come', () => {
    const pulls = (sessionId: string, ...hours: number[]) =>
      hours.map((hour) => ({
        ...madeTrial(0, { sessionId, value: 500 + hour }),
        startedAt: new Date(Date.UTC(2026, 2, 2, hour)).toISOString(),
      }));
    // The second session begins five hours after the end of the first, long after its beginning.
    const evening = pulls('d1', 8, 20);
    expect(estimateDayToDay([...evening, ...pulls('d2', 25), ...pulls('d3', 40)])).toBeNull();
    // And here it began before what was pulled in it first of all that are given.
    const late = pulls('d2', 20, 12, 16);
    expect(estimateDayToDay([...pulls('d1', 8), ...late, ...pulls('d3', 40)])).toBeNull();
    expect(estimateDayToDay([...pulls('d1', 8), ...pulls('d2', 20), ...pulls('d3', 40)])).not.toBeNull();
  });

  it('takes the days of the bench for those of each setup', () => {
    // The first setup's sessions lie ten hours apart, but the second was pulled in between.
    const between = (key: string, hours: readonly number[]) =>
      hours.map((hour, place) => ({
        ...madeTrial(0, {
          contenderKey: `setup:${key}`,
          sessionId: `${key}${String(place)}`,
          value: 500 + hour,
        }),
        startedAt: new Date(Date.UTC(2026, 2, 2, hour)).toISOString(),
      }));
    expect(estimateDayToDay(between('a', [0, 10, 20]))).not.toBeNull();
    expect(estimateDayToDay([...between('a', [0, 10, 20]), ...between('b', [5, 15])])).toBeNull();
  });

  it('is not known better by several setups of the same days, but by those of other days', () => {
    const same = [...days('a', [500, 510, 490]), ...days('b', [400, 420, 401], 3)];
    expect(estimateDayToDay(same)?.degreesOfFreedom).toBe(2);
    const others = [...days('a', [500, 510, 490]), ...days('b', [400, 420, 401], 3, 'e')];
    expect(estimateDayToDay(others)?.degreesOfFreedom).toBe(4);
    // Four days in all, two of them in common.
    const { sessionId, startedAt } = madeTrial(0, { sessionId: 'd3' });
    const onDayThree = { sessionId, startedAt };
    const overlapping = [...days('a', [500, 510, 490]), ...days('b', [400, 420, 401], 3)].map((trial) =>
      trial.contenderKey === 'setup:b' && trial.sessionId === 'd0' ? { ...trial, ...onDayThree } : trial,
    );
    expect(estimateDayToDay(overlapping)?.degreesOfFreedom).toBe(3);
  });

  it('comes from reference pulls too, and leaves short setups aside', () => {
    const reference = days('r', [500, 510, 490]).map((trial) => ({ ...trial, isReference: true }));
    const alone = estimateDayToDay(reference);
    expect(alone).not.toBeNull();
    expect(estimateDayToDay([...reference, ...days('b', [400, 900], 3)])).toEqual(alone);
    // The reference tool was a setup too on the first day.
    expect(estimateDayToDay([...reference, ...days('r', [700], 9)])).toEqual(alone);
  });
});

describe('what is said of the scatter from day to day', () => {
  it('is its percentage and how well it is known', () => {
    const said = (degreesOfFreedom: number): string =>
      dayToDaySentence({ standardDeviation: 0.0234, degreesOfFreedom }).replaceAll(THIN_SPACE, ' ');
    expect(said(2)).toBe(
      'the mean of one setup moves by 2.34 % from day to day (2 degrees of freedom), which is in the interval.',
    );
    expect(said(1)).toContain('(one degree of freedom)');
  });
});

describe('the share of the days in a difference', () => {
  const shareOf = (a: readonly string[], b: readonly string[]): number => {
    const sharesOf = (sessions: readonly string[]) =>
      sessionShares(observe(sessions.map((sessionId, order) => madeTrial(order, { sessionId }))));
    return dayShare(sharesOf(a), sharesOf(b));
  };

  it('is none in a common session, two in two different ones, and lies between where they overlap', () => {
    expect(shareOf(['x', 'x', 'x'], ['x', 'x'])).toBe(0);
    expect(shareOf(['x', 'x'], ['y'])).toBe(2);
    expect(shareOf(['x', 'y'], ['y', 'x'])).toBe(0);
    expect(shareOf(['x', 'x', 'y'], ['x', 'y', 'y'])).toBeCloseTo(2 / 9, 12);
    expect(shareOf(['x', 'y'], ['z', 'z'])).toBeCloseTo(1.5, 12);
  });
});

describe('a comparison across days', () => {
  const trials = [
    ...madeBlock('a', [500, 505, 495], { sessionId: 'd1' }),
    ...madeBlock('b', [500, 505, 495], { sessionId: 'd2', from: 3 }),
  ];

  it('is across them as soon as a part of the runs is', () => {
    const overlapping = [
      ...madeBlock('a', [500, 505], { sessionId: 'd1' }),
      ...madeBlock('a', [495], { sessionId: 'd2', from: 2 }),
      ...madeBlock('b', [500], { sessionId: 'd1', from: 3 }),
      ...madeBlock('b', [505, 495], { sessionId: 'd2', from: 4 }),
    ];
    const found = estimateDifference(observe(overlapping), 'setup:a', 'setup:b', null, distributions);
    expect(found?.dayShare).toBeCloseTo(2 / 9, 12);
    expect(found?.isDayToDayUnknown).toBe(true);
  });

  it('has twice the variance of a day on top of that of the runs', () => {
    const of = (standardDeviation: number) =>
      estimateDifference(
        observe(trials),
        'setup:a',
        'setup:b',
        { standardDeviation, degreesOfFreedom: 1e6 },
        distributions,
      );
    const without = of(0)?.test?.standardError ?? NaN;
    expect(of(0.02)?.test?.standardError).toBeCloseTo(Math.hypot(without, 0.02 * Math.SQRT2), 12);
  });

  it('tells equal tools apart in at most 5 % of cases, even where the days are few and scatter more than the runs', () => {
    const COMPARISONS = 600;
    let all = 0;
    let apartInAll = 0;
    for (const dayCount of [3, 5]) {
      for (const dayScatter of [0.015, 0.03]) {
        const random = createSeededRandom(dayCount, Math.round(1000 * dayScatter));
        let apart = 0;
        for (let index = 0; index < COMPARISONS; index += 1) {
          const day = (key: string, sessionId: string, from: number) => {
            const moved = dayScatter * random.gaussian();
            const values = [1, 2, 3].map(() => 500 * Math.exp(moved + 0.015 * random.gaussian()));
            return madeBlock(key, values, { sessionId, from });
          };
          const known = estimateDayToDay(
            Array.from({ length: dayCount }, (_, number) =>
              day('r', `r${String(number)}`, 10 * number),
            ).flat(),
          );
          const found = estimateDifference(
            observe([...day('a', 'd1', 100), ...day('b', 'd2', 200)]),
            'setup:a',
            'setup:b',
            known,
            distributions,
          )?.test;
          if (found == null) throw new Error('Two with three runs each have a difference.');
          const interval = intervalOf(found, 0.95, distributions);
          if (interval.low > 0 || interval.high < 0) apart += 1;
        }
        all += COMPARISONS;
        apartInAll += apart;
      }
    }
    // Three standard deviations of the simulation above 5 %; by Welch and Satterthwaite it would be 6.5 %.
    expect(apartInAll / all).toBeLessThan(0.05 + 3 * Math.sqrt((0.05 * 0.95) / all));
    expect(apartInAll / all).toBeGreaterThan(0.01);
  }, 30_000);
});
