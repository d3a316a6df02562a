import { describe, expect, it } from 'vitest';
import { afterWarmUp, slopePerHour } from '../../../../scripts/soak/growth.ts';

const everyMinute = (values: readonly number[]) =>
  values.map((value, minute) => ({ atS: minute * 60, value }));

describe('growth over an hour', () => {
  it('is the slope of a series that rises evenly', () => {
    expect(slopePerHour(everyMinute([100, 101, 102, 103, 104]))).toBeCloseTo(60, 9);
  });

  it('is not turned by one look beside a burst', () => {
    expect(slopePerHour(everyMinute([100, 100, 100, 180, 100, 100, 100]))).toBe(0);
  });

  it('does not count what a program takes in its first five minutes', () => {
    const points = everyMinute([
      50, 80, 95, 99, 100, 100, 100, 100, 100, 100, 100, 100, 100, 100, 100, 100, 100, 100, 100, 100, 100,
    ]);
    expect(slopePerHour(afterWarmUp(points))).toBe(0);
    expect(afterWarmUp(points)[0]?.atS).toBe(300);
  });

  it('leaves out the first quarter of a short run', () => {
    expect(afterWarmUp(everyMinute([1, 2, 3, 4, 5])).map(({ value }) => value)).toEqual([2, 3, 4, 5]);
  });
});
