import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import { reachSchema } from '../../../../shared-lib/comparison/comparison-model.ts';
import { compareReachTimes } from '../../../../shared-lib/comparison/reach.ts';
import { intervalOf, welch } from '../../../../shared-lib/comparison/welch.ts';

const A = [
  [0.1, 0.2, 0.4, 0.9],
  [0.11, 0.22, 0.4, 1],
  [0.1, 0.21, 0.41, null],
];
const B = [
  [0.2, 0.3, 0.42, null],
  [0.21, 0.32, 0.42, null],
  [0.22, 0.31, 0.4, null],
];

const reached = (a: readonly (readonly (number | null)[])[], b: readonly (readonly (number | null)[])[]) =>
  compareReachTimes(
    {
      levelsNm: [100, 200, 300, 400].slice(0, a[0]?.length ?? 0),
      a: { timesS: a },
      b: { timesS: b },
      words: { a: 'Hollin H5', b: 'Tarnwick T6', format: (levelNm) => `${String(levelNm)} N·m` },
    },
    distributions,
  );

describe('who reaches a torque first', () => {
  it('is told level by level from the ratio of times and its interval', () => {
    const found = reached(A, B);
    expect(found.levels.map(({ first }) => first)).toEqual(['a', 'a', null, null]);
    expect(found.levels.map(({ aReached, bReached }) => [aReached, bReached])).toEqual([
      [3, 3],
      [3, 3],
      [3, 3],
      [2, 0],
    ]);
    const test = welch([0.1, 0.11, 0.1].map(Math.log), [0.2, 0.21, 0.22].map(Math.log), distributions);
    const interval = intervalOf(test, 0.95, distributions);
    expect(found.levels[0]?.ratio?.low).toBeCloseTo(Math.exp(interval.low), 12);
    expect(found.levels[0]?.aMeanS).toBeCloseTo(0.31 / 3, 12);
    expect(found.levels[3]).toMatchObject({ bMeanS: null, ratio: null });
    expect(reachSchema.parse(found)).toEqual(found);
  });

  it('is said in stretches of neighbouring torques', () => {
    const { sentences } = reached(A, B);
    expect(sentences[0]).toMatch(
      /^From 100 N·m to 200 N·m Hollin H5 is there first; Tarnwick T6 takes \d+.% to \d+.% longer\.$/,
    );
    expect(sentences[1]).toBe('At 300 N·m it is too close to call who is there first.');
    expect(sentences[2]).toBe(
      'At 400 N·m only Hollin H5 gets there, in up to 2 of 3 runs; Tarnwick T6 in none of 3.',
    );
    expect(sentences[3]).toContain('dynamic error not included');
  });

  it('is said from the lowest to the highest torque of a stretch, with how much longer the other takes', () => {
    // Times of one scatter by 0.2 % and are half as long at first, then 49.5 %, 40 %: 100 %, 102 % and 150 % longer.
    const times = (ratios: readonly number[]) =>
      [0.999, 1.001, 1].map((run) => ratios.map((ratio) => run * ratio));
    const longer = (ratios: readonly number[]) =>
      reached(times([1, 1, 1].slice(0, ratios.length)), times(ratios)).sentences[0];
    expect(longer([2, 2.02, 2.5])).toBe(
      'From 100 N·m to 300 N·m Hollin H5 is there first; Tarnwick T6 takes 100\u202f% to 150\u202f% longer.',
    );
    expect(longer([2, 2.02])).toContain('takes 100\u202f% to 102\u202f% longer');
    // A range from one per cent between its ends on.
    expect(longer([2, 2.016])).toContain('takes 100\u202f% to 102\u202f% longer');
    expect(longer([2, 2.009])).toContain('takes 101\u202f% longer');
  });

  it('is the other one when both change sides', () => {
    expect(reached(B, A).levels.map(({ first }) => first)).toEqual(['b', 'b', null, null]);
    expect(reached(B, A).sentences[2]).toContain(
      'only Hollin H5 gets there, in up to 2 of 3 runs; Tarnwick T6'
        .replace('Hollin H5', 'Tarnwick T6')
        .replace('; Tarnwick T6', '; Hollin H5'),
    );
  });

  it('is left open where some runs of one did not get there, since only its quick ones have a time', () => {
    const found = reached([[0.1], [0.11], [0.105]], [[0.2], [0.21], [null]]);
    expect(found.levels[0]?.ratio).not.toBeNull();
    expect(found.levels[0]?.first).toBeNull();
  });

  it('is one that alone gets there only with enough runs: 4 against 4 by Fisher (2 of 70), 3 against 3 not', () => {
    const all = (count: number, timeS: number | null) => Array.from({ length: count }, () => [timeS]);
    expect(reached(all(4, 0.5), all(4, null)).levels[0]?.first).toBe('a');
    expect(reached(all(4, null), all(4, 0.5)).levels[0]?.first).toBe('b');
    expect(reached(all(3, 0.5), all(3, null)).levels[0]?.first).toBeNull();
    expect(reached(all(4, null), all(4, null)).sentences[0]).toBe('At 100 N·m neither gets there.');
  });

  it('has no ratio of times that are all alike or zero', () => {
    expect(reached([[0.1], [0.1]], [[0.2], [0.2]]).levels[0]?.ratio).toBeNull();
    expect(reached([[0], [0.1]], [[0.2], [0.3]]).levels[0]?.ratio).toBeNull();
    // One that scatters is enough.
    expect(reached([[0.1], [0.11]], [[0.2], [0.2]]).levels[0]?.ratio).not.toBeNull();
    expect(reached([[0.1], [0.1]], [[0.2], [0.21]]).levels[0]?.ratio).not.toBeNull();
  });
});
