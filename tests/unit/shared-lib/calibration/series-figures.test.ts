import { describe, expect, it } from 'vitest';
import {
  bendingPercent,
  collectSeries,
  creepPercent,
  fittedSeries,
  standardDeviation,
  stepFigures,
  zeroReturnPercent,
} from '../../../../shared-lib/calibration/series-figures.ts';
import example from '../../../fixtures/reference-values/torque-class.json' with { type: 'json' };
import { madeSeries } from './made-series.ts';
import { SCALE, torqueClassRun } from './torque-class-series.ts';

const { results } = example.inventedExample;

function seriesOfExample() {
  const { readings, taken } = torqueClassRun();
  return collectSeries(readings, taken, 'forward');
}

describe('the figures of short series', () => {
  it('hold what two mountings say of each other, and nothing of what was not read', () => {
    const [step] = stepFigures([
      madeSeries({ mounting: 1, torquesNm: [50] }),
      madeSeries({ mounting: 2, torquesNm: [50], relative: 0.002 }),
    ]);
    // By hand: 0.2 % apart, about a mean that is 0.1 % up; of two the standard deviation is the span over root two.
    expect(step?.reproducibilityPercent).toBeCloseTo(0.2 / 1.001, 9);
    expect(step?.reproducibilitySdPercent).toBeCloseTo(0.2 / 1.001 / Math.SQRT2, 9);
    expect(step?.repeatabilityPercent).toBeNull();
    expect(step?.reversibilityPercent).toBeNull();
    expect(stepFigures([madeSeries({})])[0]?.reproducibilityPercent).toBeNull();
  });

  it('have no zero return without a zero afterwards or a deflection to take it of', () => {
    const [made] = [madeSeries({ torquesNm: [50] })];
    expect(zeroReturnPercent([{ ...made, zeroShiftCounts: -100 }])).toBeCloseTo(0.05, 12);
    expect(zeroReturnPercent([{ ...made, zeroShiftCounts: null }])).toBeNull();
    expect(zeroReturnPercent([{ ...made, zeroShiftCounts: 100, increasing: [] }])).toBeNull();
    expect(zeroReturnPercent([])).toBeNull();
  });

  it('have no reversal at the top, also where one step alone was read on the way down', () => {
    const made = madeSeries({ torquesNm: [50, 100] });
    const decreasing = made.increasing.slice(0, 1).map((step) => ({ ...step, counts: step.counts + 400 }));
    const [below, top] = stepFigures([{ ...made, decreasing }]);
    // 400 of 200 000 counts.
    expect(below?.reversibilityPercent).toBeCloseTo(0.2, 12);
    expect(top?.reversibilityPercent).toBe(0);
  });

  it('have a bending of the load from two readings on', () => {
    const { readings, taken } = torqueClassRun();
    const [planned, reading] = [readings[1], taken[1]];
    if (planned === undefined || reading === undefined)
      throw new Error('The run of the example has readings');
    const series = [madeSeries({ torquesNm: [50, 100] })];
    const shifted = [400_300, 400_100].map((meanCounts, place) => ({
      planned: { ...planned, index: 100 + place, stage: 'bending' as const },
      taken: { ...reading, index: 100 + place, meanCounts },
    }));
    const bending = (count: number) =>
      bendingPercent(
        shifted.map((one) => one.planned),
        shifted.slice(0, count).map((one) => one.taken),
        series,
      );
    // 200 of 400 000 counts.
    expect(bending(2)).toBeCloseTo(0.05, 12);
    expect(bending(1)).toBeNull();
  });

  it('have a creep from the readings after 30 s and 300 s of their own sense', () => {
    const { readings, taken } = torqueClassRun();
    const [planned, reading] = [readings[1], taken[1]];
    if (planned === undefined || reading === undefined)
      throw new Error('The run of the example has readings');
    const made = [
      { sense: 'reverse', stage: 'creep30', meanCounts: -399_000 },
      { sense: 'reverse', stage: 'creep300', meanCounts: -398_000 },
      { sense: 'forward', stage: 'bending', meanCounts: 390_000 },
      { sense: 'forward', stage: 'creep30', meanCounts: 400_100 },
      { sense: 'forward', stage: 'creep300', meanCounts: 400_020 },
    ] as const;
    const creep = (count: number) =>
      creepPercent(
        made.map(({ sense, stage }, place) => ({ ...planned, index: 100 + place, sense, stage })),
        made.slice(0, count).map(({ meanCounts }, place) => ({ ...reading, index: 100 + place, meanCounts })),
        [madeSeries({ torquesNm: [50, 100] })],
      );
    // 80 of 400 000 counts.
    expect(creep(5)).toBeCloseTo(0.02, 12);
    expect(creep(4)).toBeNull();
    expect(creep(2)).toBeNull();
  });

  it('are fitted to the first series of each mounting, also of two', () => {
    const all = [
      madeSeries({ mounting: 1 }),
      madeSeries({ mounting: 1, firstIndex: 10 }),
      madeSeries({ mounting: 2, torquesNm: [] }),
      madeSeries({ mounting: 2, firstIndex: 20 }),
    ];
    expect(fittedSeries(all)).toEqual([all[0], all[3]]);
    // With one mounting all that were read.
    expect(fittedSeries(all.slice(0, 3))).toEqual([all[0], all[1]]);
  });
});

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
