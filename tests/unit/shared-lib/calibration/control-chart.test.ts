import { describe, expect, it } from 'vitest';
import {
  ewmaLimits,
  individualsLimits,
  movingRangeSigma,
  weightedMeans,
} from '../../../../shared-lib/calibration/control-chart.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';

/** Source: NIST/SEMATECH e-Handbook 6.3.2.2 (flow rates) and 6.3.2.4; data and results from memory, recomputed. */
const flowRates = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];
const ewmaData = [52, 47, 53, 49.3, 50.1, 47, 51, 50.1, 51.2, 50.5, ...flowRates];

describe('an individuals chart', () => {
  it('has the centre and the limits of the handbook’s flow rates', () => {
    const { centre, lower, upper } = individualsLimits(flowRates);
    expect(centre).toBeCloseTo(50.81, 10);
    expect(lower).toBeCloseTo(45.8159, 3);
    expect(upper).toBeCloseTo(55.8041, 3);
  });

  it('takes its scatter from neighbours, so that a slow drift does not widen it', () => {
    const random = createSeededRandom(5, 0);
    const still = Array.from({ length: 400 }, () => random.gaussian());
    const drifting = still.map((value, index) => value + 0.02 * index);
    expect(movingRangeSigma(still)).toBeGreaterThan(0.9);
    expect(movingRangeSigma(still)).toBeLessThan(1.1);
    expect(movingRangeSigma(drifting)).toBeCloseTo(movingRangeSigma(still), 1);
  });
});

describe('an EWMA chart', () => {
  it('has the limits and the last value of the handbook’s example', () => {
    const { lower, upper } = ewmaLimits({ centre: 50, sigma: 2.0539, lambda: 0.3, factor: 3 });
    expect(lower).toBeCloseTo(47.4115, 3);
    expect(upper).toBeCloseTo(52.5884, 3);
    expect(weightedMeans(ewmaData, 0.3, 50).at(-1)).toBeCloseTo(51.99, 2);
  });

  it('begins narrow and widens to the limits of a long series', () => {
    const limitsAt = (n?: number) =>
      ewmaLimits({ centre: 0, sigma: 1, lambda: 0.2, factor: 2.9, ...(n === undefined ? {} : { n }) }).upper;
    // The first weighted mean is lambda times one value.
    expect(limitsAt(1)).toBeCloseTo(2.9 * 0.2, 12);
    expect(limitsAt(2)).toBeGreaterThan(limitsAt(1));
    expect(limitsAt(200)).toBeCloseTo(limitsAt(), 12);
  });
});
