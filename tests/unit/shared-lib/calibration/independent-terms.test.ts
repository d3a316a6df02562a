import { describe, expect, it } from 'vitest';
import {
  type FittedStep,
  independentTerms,
  type SenseScatter,
  unknownBenchTerms,
} from '../../../../shared-lib/calibration/independent-terms.ts';
import type { BenchTerms } from '../../../../shared-lib/calibration/run-model.ts';

/** 100 N.m at 4000 counts per N.m. */
const step: FittedStep = {
  torqueNm: 100,
  fittedCounts: 400_000,
  nmPerCount: 1 / 4000,
  leverage: 0.25,
  interpolation: { limitCounts: 80 },
  reversibilityPercent: null,
};
const quiet: SenseScatter = {
  repeat: null,
  gain: null,
  resolutionCounts: 20,
  greatestZeroShiftCounts: 60,
  meanZeroShiftCounts: 30,
  creepShare: 0,
  bendingShare: 0,
};
const nothingKnown: BenchTerms = {
  temperatureSpanK: null,
  spanPercentPerK: null,
  zeroPercentOfCapacityPerK: null,
  driftPercent: null,
};
const ROOT_3 = Math.sqrt(3);

/** Source, time, and standard uncertainty in N.m. */
const termsOf = (
  change: { step?: Partial<FittedStep>; scatter?: Partial<SenseScatter>; bench?: Partial<BenchTerms> } = {},
  capacityNm: number | null = 500,
) =>
  independentTerms(
    { ...step, ...change.step },
    { ...quiet, ...change.scatter },
    { ...nothingKnown, ...change.bench },
    capacityNm,
  );
const inShort = (terms: ReturnType<typeof termsOf>) =>
  terms.map(({ source, time, standardUncertaintyNm }) => [source, time, standardUncertaintyNm]);
/** What comes on top of the terms that are always there. */
const added = (...given: Parameters<typeof termsOf>) => {
  const always = new Set(termsOf().map(({ source }) => source));
  return termsOf(...given).filter(({ source }) => !always.has(source));
};
const close = (value: number): unknown => expect.closeTo(value, 12);

describe('the terms of a step that differ from reading to reading', () => {
  it('are always those of resolution, interpolation and zero, as limits in counts', () => {
    // By hand: counts over 4000, over the root of three; the resolution by half.
    expect(inShort(termsOf())).toEqual([
      ['Resolution of the zero', 'calibration', close(10 / 4000 / ROOT_3)],
      ['Resolution of the reading', 'calibration', close(10 / 4000 / ROOT_3)],
      ['Interpolation', 'calibration', close(80 / 4000 / ROOT_3)],
      ['Drift of the zero in the series', 'calibration', close(30 / 4000 / ROOT_3)],
      ['Zero return', 'bench', close(60 / 4000 / ROOT_3)],
    ]);
    for (const term of termsOf()) {
      expect(term).toMatchObject({
        kind: 'independent',
        evaluation: 'B',
        distribution: 'rectangular',
        unit: 'counts',
        degreesOfFreedom: null,
        sensitivity: 1 / 4000,
      });
    }
  });

  it('have no sign where torque and counts run against each other', () => {
    const turned = termsOf({ step: { torqueNm: -100, nmPerCount: -1 / 4000, fittedCounts: 400_000 } });
    expect(inShort(turned)).toEqual(inShort(termsOf()));
  });

  it('take the scatter of readings into the curve by its leverage, and whole at the bench', () => {
    const along = {
      at: (torqueNm: number) => ({ standardDeviationCounts: torqueNm / 2, degreesOfFreedom: 7 }),
    };
    const terms = added({ scatter: { repeat: { along, isFromFit: false } } });
    expect(inShort(terms)).toEqual([
      ['Repeatability, in the curve', 'calibration', close((50 * 0.5) / 4000)],
      ['Repeatability, of one reading', 'bench', close(50 / 4000)],
    ]);
    for (const term of terms)
      expect(term).toMatchObject({ evaluation: 'A', degreesOfFreedom: 7, estimate: 'repeat' });
    expect(added({ scatter: { repeat: { along, isFromFit: true } } })[0]?.source).toBe(
      'Scatter about the curve, in the curve',
    );
  });

  it('take the gain of a mounting into the curve by its share, and whole at the bench', () => {
    const gain = { between: 'mountings', relative: 0.002, degreesOfFreedom: 2, shareInCurve: 0.25 } as const;
    const terms = added({ scatter: { gain } });
    expect(inShort(terms)).toEqual([
      ['Mounting, in the curve', 'calibration', close(0.1)],
      ['Mounting, of the bench', 'bench', close(0.2)],
    ]);
    for (const term of terms)
      expect(term).toMatchObject({ unit: '%', degreesOfFreedom: 2, estimate: 'gain' });
    expect(terms[1]?.value).toBeCloseTo(0.2, 12);
    expect(added({ scatter: { gain: { ...gain, between: 'series' } } }).map(({ source }) => source)).toEqual([
      'Gain of the series, in the curve',
      'Gain of the series, of one reading',
    ]);
  });

  it('have an interpolation of degrees of freedom where only what exceeds the scatter counts', () => {
    const term = termsOf({ step: { interpolation: { standardCounts: 40, degreesOfFreedom: 4 } } })[2];
    expect(term).toMatchObject({ source: 'Interpolation', evaluation: 'A', degreesOfFreedom: 4, divisor: 1 });
    expect(term?.standardUncertaintyNm).toBeCloseTo(0.01, 12);
  });

  it('take a sideways load by half of its span, creep and reversibility whole', () => {
    expect(
      inShort(
        added({ scatter: { bendingShare: 0.001, creepShare: 0.0005 }, step: { reversibilityPercent: 0.3 } }),
      ),
    ).toEqual([
      ['Sideways load', 'calibration', close(0.05 / ROOT_3)],
      ['Creep', 'bench', close(0.05 / ROOT_3)],
      ['Reversibility', 'bench', close(0.3 / ROOT_3)],
    ]);
    // Also where the counts fall with rising torque.
    const falling = { fittedCounts: -400_000, nmPerCount: -1 / 4000 };
    expect(added({ scatter: { bendingShare: 0.001 }, step: falling })[0]?.standardUncertaintyNm).toBeCloseTo(
      0.05 / ROOT_3,
      12,
    );
  });
});

describe('what is known of the bench', () => {
  const known = {
    temperatureSpanK: 10,
    spanPercentPerK: 0.02,
    zeroPercentOfCapacityPerK: 0.01,
    driftPercent: 0.4,
  };

  it('counts where it is told: span and drift of the torque, the zero of the capacity', () => {
    expect(inShort(added({ bench: known }))).toEqual([
      ['Temperature, span', 'bench', close(0.2 / ROOT_3)],
      ['Temperature, zero', 'bench', close(0.5 / ROOT_3)],
      ['Drift since calibration', 'bench', close(0.4 / ROOT_3)],
    ]);
    expect(unknownBenchTerms({ ...nothingKnown, ...known }, 500)).toEqual([]);
  });

  it('is left out and named where a part of it is not', () => {
    const span = 'temperature of the span';
    const zero = 'temperature of the zero';
    const drift = 'drift since the calibration';
    for (const [change, capacityNm, counted, unknown] of [
      [{ temperatureSpanK: null }, 500, ['Drift since calibration'], [span, zero]],
      [{ spanPercentPerK: null }, 500, ['Temperature, zero', 'Drift since calibration'], [span]],
      [{ zeroPercentOfCapacityPerK: null }, 500, ['Temperature, span', 'Drift since calibration'], [zero]],
      [{}, null, ['Temperature, span', 'Drift since calibration'], [zero]],
      [{ driftPercent: null }, 500, ['Temperature, span', 'Temperature, zero'], [drift]],
    ] as const) {
      const bench = { ...known, ...change };
      expect(added({ bench }, capacityNm).map(({ source }) => source)).toEqual(counted);
      expect(unknownBenchTerms(bench, capacityNm)).toEqual(unknown);
    }
    expect(added()).toEqual([]);
    expect(unknownBenchTerms(nothingKnown, 500)).toEqual([span, zero, drift]);
  });
});
