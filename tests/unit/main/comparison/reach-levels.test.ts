import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { levelsBetween } from '../../../../main/comparison/reach-levels.ts';

describe('the torques whose times are compared', () => {
  it('are multiples of a round step, above the onset level and up to the highest', () => {
    expect(levelsBetween(15, 320)).toEqual(Array.from({ length: 61 }, (_, index) => 20 + 5 * index));
    expect(levelsBetween(0.3, 3.35).slice(0, 3)).toEqual([0.35, 0.4, 0.45]);
  });

  it('are about sixty whatever the range, and rise', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 100, noNaN: true }),
        fc.double({ min: 1, max: 1e5, noNaN: true }),
        (aboveNm, spanNm) => {
          const levels = levelsBetween(aboveNm, aboveNm + spanNm);
          expect(levels.length).toBeGreaterThanOrEqual(40);
          expect(levels.length).toBeLessThanOrEqual(90);
          expect(levels[0]).toBeGreaterThan(aboveNm);
          expect(levels.at(-1)).toBeLessThanOrEqual(aboveNm + spanNm);
          expect(levels).toEqual(levels.toSorted((a, b) => a - b));
        },
      ),
    );
  });

  it('are none where nothing lies between', () => {
    expect(levelsBetween(15, 15)).toEqual([]);
    expect(levelsBetween(15, 3)).toEqual([]);
  });
});
