import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { followRange, snugRange, ticksOf } from '../../../../renderer/live-curve/value-range.ts';

describe('snugRange', () => {
  it.each([
    [
      { min: 0, max: 512 },
      { min: -36, max: 600, step: 100 },
    ],
    [
      { min: 0, max: 600 },
      { min: -36, max: 600, step: 100 },
    ],
    [
      { min: -1, max: 3 },
      { min: -3, max: 50, step: 10 },
    ],
    // Noise below zero alone does not turn the picture over.
    [
      { min: -2, max: 1 },
      { min: -3, max: 50, step: 10 },
    ],
    [
      { min: -377, max: 2 },
      { min: -400, max: 24, step: 100 },
    ],
    [
      { min: -120, max: 480 },
      { min: -200, max: 500, step: 100 },
    ],
  ])('puts %o on round numbers', (extent, range) => {
    expect(snugRange(extent, 50)).toEqual(range);
  });

  it('always holds its extent and zero, and gives between 3 and 14 ticks', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e6, max: 0, noNaN: true }),
        fc.double({ min: 0, max: 1e6, noNaN: true }),
        fc.double({ min: 0.01, max: 1e3, noNaN: true }),
        (min, max, leastTop) => {
          const range = snugRange({ min, max }, leastTop);
          const slack = 1e-9 * (range.max - range.min);
          expect(range.min).toBeLessThanOrEqual(min + slack);
          expect(range.max).toBeGreaterThanOrEqual(max - slack);
          const ticks = ticksOf(range);
          expect(ticks).toContain(0);
          expect(ticks.length).toBeGreaterThanOrEqual(3);
          expect(ticks.length).toBeLessThanOrEqual(14);
        },
      ),
    );
  });
});

describe('followRange', () => {
  const current = snugRange({ min: 0, max: 500 }, 50);

  it('stays as it is while the curve is inside and uses a fair part of it', () => {
    expect(followRange(current, { min: -5, max: 260 }, 50)).toBe(current);
  });

  it('leaves room to grow when the curve leaves it, so that it need not move again soon', () => {
    expect(followRange(current, { min: 0, max: 510 }, 50).max).toBe(800);
  });

  it('gives up a range that is far too large', () => {
    expect(followRange(current, { min: 0, max: 90 }, 50).max).toBe(100);
  });
});
