import { describe, expect, it } from 'vitest';
import {
  collectSeries,
  fittedSeries,
  standardDeviation,
  stepFigures,
  zeroReturnPercent,
} from '../../../../shared-lib/calibration/series-figures.ts';
import example from '../../../fixtures/reference-values/torque-class.json' with { type: 'json' };
import { SCALE, torqueClassRun } from './torque-class-series.ts';

const { results } = example.inventedExample;

function seriesOfExample() {
  const { readings, taken } = torqueClassRun();
  return collectSeries(readings, taken, 'forward');
}

/**
 * Against readings made up for the purpose and figures computed from them elsewhere by formulas from memory (CHECKS C3);
 * no published example with raw readings could be had.
 */
describe('the figures of a full series', () => {
  const steps = stepFigures(seriesOfExample());
  const compare = (actual: readonly (number | null)[], expected: readonly number[]): void => {
    expected.forEach((value, index) => {
      expect(actual[index]).toBeCloseTo(value, 9);
    });
  };

  it('takes the mean of the first increasing series of each mounting', () => {
    expect(fittedSeries(seriesOfExample()).map(({ mounting }) => mounting)).toEqual([1, 2, 3]);
    compare(
      steps.map(({ meanDeflectionCounts }) => meanDeflectionCounts / SCALE),
      results.meanUp,
    );
  });

  it('gives repeatability within a mounting', () => {
    compare(
      steps.map(({ repeatabilityPercent }) => repeatabilityPercent),
      results.repeatability_pct,
    );
  });

  it('gives reproducibility over mountings, as span and as standard deviation', () => {
    compare(
      steps.map(({ reproducibilityPercent }) => reproducibilityPercent),
      results.reproducibilitySpan_pct,
    );
    compare(
      steps.map(({ reproducibilitySdPercent }) => reproducibilitySdPercent),
      results.reproducibilityStdDev_pct,
    );
  });

  it('gives reversibility, which is none at the top, where one reading serves both series', () => {
    compare(
      steps.map(({ reversibilityPercent }) => reversibilityPercent),
      results.reversibility_pct,
    );
  });

  it('gives the largest zero after unloading over the greatest deflection', () => {
    expect(zeroReturnPercent(seriesOfExample())).toBeCloseTo(results.zero_pct, 9);
  });
});

describe('what the series of a run are', () => {
  it('leaves out readings whose series has no zero yet', () => {
    const { readings, taken } = torqueClassRun();
    const withoutFirstZero = taken.filter(({ index }) => index !== 0);
    expect(collectSeries(readings, withoutFirstZero, 'forward')).toHaveLength(3);
  });

  it('takes the zero before each series off its readings', () => {
    const { readings, taken } = torqueClassRun();
    const shifted = taken.map((reading) => ({ ...reading, meanCounts: reading.meanCounts + 5000 }));
    expect(stepFigures(collectSeries(readings, shifted, 'forward'))[0]?.meanDeflectionCounts).toBeCloseTo(
      0.20012333333333332 * SCALE,
      0,
    );
  });
});

describe('a standard deviation', () => {
  /** NIST StRD NumAcc3: 1000000.2, then 1000000.1 and 1000000.3 in turn, 1001 values; certified s = 0.1. */
  const numAcc3 = [
    1000000.2,
    ...Array.from({ length: 1000 }, (_, index) => (index % 2 === 0 ? 1000000.1 : 1000000.3)),
  ];

  it('holds the digits of NIST StRD NumAcc3, where one pass over the squares loses them', () => {
    expect(Math.abs(standardDeviation(numAcc3) / 0.1 - 1)).toBeLessThan(1e-8);
    const sum = numAcc3.reduce((total, value) => total + value, 0);
    const squares = numAcc3.reduce((total, value) => total + value ** 2, 0);
    const onePass = Math.sqrt((squares - sum ** 2 / numAcc3.length) / (numAcc3.length - 1));
    expect(Math.abs(onePass / 0.1 - 1)).toBeGreaterThan(1e-8);
  });
});
