import { describe, expect, it } from 'vitest';
import { theilSen } from '../../../../shared-lib/trial/theil-sen.ts';
import vectors from '../../../fixtures/reference-values/stats-vectors.json' with { type: 'json' };
import { createNoise } from './synthetic-run.ts';

describe('theilSen', () => {
  it('gives slope and 95 % interval as scipy does, past a gross outlier', () => {
    const { x, y, slope, slopeLow95, slopeHigh95 } = vectors.theilSen;
    const line = theilSen(Float64Array.from(x), Float64Array.from(y));
    expect(Math.abs(line.slope - slope)).toBeLessThan(1e-12);
    expect(Math.abs((line.interval?.low ?? Number.NaN) - slopeLow95)).toBeLessThan(1e-12);
    expect(Math.abs((line.interval?.high ?? Number.NaN) - slopeHigh95)).toBeLessThan(1e-12);
  });

  it('gives a straight line its slope and no width, whatever the ties', () => {
    const x = Float64Array.from({ length: 20 }, (_, index) => index);
    expect(
      theilSen(
        x,
        x.map((value) => 3 * value - 7),
      ),
    ).toEqual({
      slope: 3,
      interval: { low: 3, high: 3 },
    });
    expect(
      theilSen(
        x,
        x.map(() => 5),
      ),
    ).toEqual({ slope: 0, interval: { low: 0, high: 0 } });
  });

  it('narrows the interval by what is tied in x and in y, as scipy does', () => {
    // scipy 1.17.1, stats.theilslopes: without the correction for either, it would reach further.
    const x = Float64Array.of(0, 0, 2, 2, 3, 3, 3, 4, 5, 5, 5, 6);
    const line = theilSen(x, Float64Array.of(0, 1, 2, 1, 2, 3, 2, 3, 3, 3, 4, 4));
    expect(line).toEqual({ slope: 0.6, interval: { low: 0.4, high: 0.8 } });
  });

  it('takes its interval from the variance of the pairs, as scipy does', () => {
    // scipy 1.17.1, stats.theilslopes: a variance 5 % smaller would already give other ranks.
    const x = Float64Array.from({ length: 30 }, (_, index) => index);
    const { slope, interval } = theilSen(
      x,
      x.map((value) => (value * value) % 31),
    );
    expect(slope).toBeCloseTo(1 / 6, 14);
    expect(interval?.low).toBeCloseTo(-0.2, 14);
    expect(interval?.high).toBeCloseTo(0.5882352941176471, 14);
  });

  it('never takes the values for more independent than they are, whatever is said of sharing', () => {
    const x = Float64Array.from({ length: 30 }, (_, index) => index);
    const y = x.map((value) => (value * value) % 31);
    expect(theilSen(x, y, 0)).toEqual(theilSen(x, y, 1));
  });

  it('leaves out pairs at one place', () => {
    // Slopes between 0 and 1: 2, 4; the pair at 0 has none.
    expect(theilSen(Float64Array.of(0, 0, 1), Float64Array.of(0, -2, 2)).slope).toBe(3);
  });

  it('has no interval where too few values are independent', () => {
    const x = Float64Array.of(0, 1, 2, 3);
    expect(theilSen(x, Float64Array.of(0, 3, 2, 5)).interval).toBeNull();
    const long = Float64Array.from({ length: 50 }, (_, index) => index);
    expect(
      theilSen(
        long,
        long.map((value) => value % 7),
        40,
      ).interval,
    ).toBeNull();
  });

  it('holds the slope in 95 % of cases also where running means share samples, if told how many', () => {
    // Means over five neighbours of white noise on a line of slope 0, as the measuring curve has them.
    const noise = createNoise(41);
    const runs = 300;
    let [held, heldWithout] = [0, 0];
    for (let run = 0; run < runs; run += 1) {
      const white = Float64Array.from({ length: 104 }, noise);
      const x = Float64Array.from({ length: 100 }, (_, index) => index);
      const y = x.map((index) => white.slice(index, index + 5).reduce((sum, value) => sum + value, 0) / 5);
      const holds = (sharing: number): boolean => {
        const { interval } = theilSen(x, y, sharing);
        return interval !== null && interval.low <= 0 && interval.high >= 0;
      };
      held += Number(holds(5));
      heldWithout += Number(holds(1));
    }
    expect(held / runs).toBeGreaterThan(0.92);
    expect(held / runs).toBeLessThan(0.98);
    expect(heldWithout / runs).toBeLessThan(0.75);
  });
});
