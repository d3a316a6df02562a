import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import '../../../helpers/seed-of-chance.ts';
import { competitionPlaces } from '../../../../shared-lib/comparison/rank-with-ties.ts';

describe('places with ties', () => {
  it('follow the standard competition rule: 1, 2, 2, 4', () => {
    expect(competitionPlaces([90, 80, 80, 70], 'more')).toEqual([1, 2, 2, 4]);
    expect(competitionPlaces([70, 80, 90, 80], 'less')).toEqual([1, 2, 4, 2]);
    expect(competitionPlaces([5, 5, 5], 'more')).toEqual([1, 1, 1]);
    expect(competitionPlaces([], 'more')).toEqual([]);
    expect(competitionPlaces([0, -0], 'more')).toEqual([1, 1]);
  });

  it('are 1 more than the number of those who are better', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 9 })),
        fc.constantFrom('more', 'less'),
        (values, better) => {
          const places = competitionPlaces(values, better);
          for (const [index, value] of values.entries()) {
            const before = values.filter((other) => (better === 'more' ? other > value : other < value));
            expect(places[index]).toBe(1 + before.length);
          }
        },
      ),
    );
  });
});
