import { describe, expect, it } from 'vitest';
import { compareValues } from '../../../../shared-lib/recompute/compare-values.ts';
import { createTally } from '../../../../shared-lib/recompute/tally.ts';

function held(said: unknown, computed: unknown) {
  const tally = createTally();
  compareValues(tally, 'rows', { where: 'trial 1' }, said, computed);
  return tally.result();
}

describe('a figure of a package held against a computed one', () => {
  it('is named in words, with its unit, before and after', () => {
    expect(
      held({ sustainedTorqueNm: { value: 312.4 } }, { sustainedTorqueNm: { value: 298.1 } }).findings,
    ).toEqual([
      {
        where: 'trial 1, sustained torque, value',
        what: 'the package says 312.4\u202fN·m; computed: 298.1\u202fN·m.',
        isDifference: true,
      },
    ]);
    const [finding] = held(
      { timeToLevel: [{ levelNm: 200, timeS: 0.5 }] },
      { timeToLevel: [{ levelNm: 200, timeS: null }] },
    ).findings;
    expect(finding).toMatchObject({
      where: 'trial 1, time to level, 200, time',
      what: 'the package says 0.5\u202fs; computed: none.',
    });
  });

  it('agrees to the last digit, or to a relative 1e-12, which is told apart', () => {
    expect(held([1, 'a', null, true], [1, 'a', null, true])).toMatchObject({
      agreeing: 4,
      differing: 0,
      findings: [],
    });
    const nearly = held({ value: 100 }, { value: 100 * (1 + 5e-13) });
    expect(nearly).toMatchObject({ agreeing: 1, differing: 0 });
    expect(nearly.findings[0]).toMatchObject({ isDifference: false, where: 'all figures' });
    expect(nearly.findings[0]?.what).toMatch(/^1 of the figures agree to a relative 1e-12/);
    expect(held({ value: 100 }, { value: 100 * (1 + 2e-12) })).toMatchObject({ agreeing: 0, differing: 1 });
    expect(held(1e-30, 0)).toMatchObject({ differing: 1 });
  });

  it('differs where a member or an element is there on one side only, or another kind of thing', () => {
    expect(held({ a: 1 }, {}).differing).toBe(1);
    expect(held({}, { a: 1 }).differing).toBe(1);
    expect(held({ a: 1 }, { a: 1, b: undefined }).differing).toBe(0);
    expect(held([1, 2], [1]).findings[0]?.what).toBe('the package has 2 of them; computed: 1.');
    expect(held('1', 1).differing).toBe(1);
    expect(held({ value: 1 }, { refused: 'too short' }).differing).toBe(2);
    expect(held([], []).agreeing).toBe(1);
  });

  it('is counted beyond what anybody reads, and told as one', () => {
    const many = Array.from({ length: 1000 }, (_, index) => index);
    const result = held(
      many,
      many.map((value) => value + 1),
    );
    expect(result.differing).toBe(1000);
    expect(result.findings).toHaveLength(401);
    expect(result.findings.at(-1)?.what).toBe('600 more differences of this kind are not listed.');
  });
});
