import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import {
  chooseFit,
  isMonotone,
  repeatScatter,
  scaleOf,
} from '../../../../shared-lib/calibration/choose-fit.ts';
import { classify, type ClassifiedStep } from '../../../../shared-lib/calibration/classify.ts';
import { evaluateFit, fitPolynomial } from '../../../../shared-lib/calibration/fit-polynomial.ts';
import { lowerLimit } from '../../../../shared-lib/calibration/lower-limit.ts';
import {
  collectSeries,
  fittedSeries,
  type Series,
  stepFigures,
  zeroReturnPercent,
} from '../../../../shared-lib/calibration/series-figures.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import pontius from '../../../fixtures/reference-values/nist-strd/pontius.json' with { type: 'json' };
import example from '../../../fixtures/reference-values/torque-class.json' with { type: 'json' };
import { SCALE, torqueClassRun } from './torque-class-series.ts';

const TORQUES_NM = [30, 60, 90, 120, 150, 180];

/** Three mountings of one increasing series each, on a transducer of this curve. */
function seriesOf(
  countsAt: (torqueNm: number) => number,
  { mountingScatter = 0.001, noiseCounts = 5, torquesNm = TORQUES_NM } = {},
): Series[] {
  const random = createSeededRandom(7, 0);
  return [1, 2, 3].map((mounting) => {
    const scale = 1 + mountingScatter * random.gaussian();
    return {
      sense: 'forward',
      mounting,
      zeroBeforeCounts: 0,
      zeroShiftCounts: 0,
      increasing: torquesNm.map((torqueNm, index) => ({
        index,
        level: index + 1,
        arm: 'arm',
        torqueNm,
        counts: scale * countsAt(torqueNm) + noiseCounts * random.gaussian(),
      })),
      decreasing: [],
    };
  });
}

const choose = (series: readonly Series[], resolutionCounts = 1) =>
  chooseFit(series, resolutionCounts, null, distributions);

describe('the degree of the curve', () => {
  it('is one for a straight transducer, whatever its mountings do', () => {
    const chosen = choose(seriesOf((torqueNm) => 4000 * torqueNm, { mountingScatter: 0.005 }));
    expect(chosen.fit.model).toEqual({ degree: 1, throughZero: true });
    expect(chosen.reason).toContain('no more than they scatter');
  });

  it('is two for a transducer that bends, and the reason says by how much that helps', () => {
    const chosen = choose(seriesOf((torqueNm) => 4000 * torqueNm * (1 + 0.00002 * torqueNm)));
    expect(chosen.fit.model.degree).toBe(2);
    expect(chosen.reason).toContain('off the largest interpolation error');
  });

  it('stays one where the bend lies within the resolution', () => {
    const chosen = choose(
      seriesOf((torqueNm) => 4000 * torqueNm * (1 + 0.00002 * torqueNm)),
      100_000,
    );
    expect(chosen.fit.model.degree).toBe(1);
    expect(chosen.reason).toContain('resolution');
  });

  it('has as its largest interpolation error what the closed form of a line through zero leaves', () => {
    // Of 100 and 210 counts at 100 and 200 N.m: a slope of 1.04, which misses 104 by 4 and 208 by 2.
    const made = seriesOf((torqueNm) => torqueNm, { torquesNm: [100, 200] }).slice(0, 1);
    const bent = made.map((series) => ({
      ...series,
      increasing: series.increasing.map((step, index) => ({ ...step, counts: index === 0 ? 100 : 210 })),
    }));
    const chosen = choose(bent);
    expect(chosen.fit.coefficients[0]).toBeCloseTo(1.04, 12);
    expect(chosen.greatestInterpolationPercent).toBeCloseTo(400 / 104, 10);
    expect(chosen.greatestInterpolationCounts).toBeCloseTo(4, 10);
  });

  const percentTaken = ({ candidates }: ReturnType<typeof choose>): number =>
    Math.round(
      100 *
        (1 -
          (candidates[1]?.greatestInterpolationPercent ?? Number.NaN) /
            (candidates[0]?.greatestInterpolationPercent ?? Number.NaN)),
    );

  it('says of the next degree how much of the error it takes away', () => {
    const chosen = choose(seriesOf((torqueNm) => 4000 * torqueNm * (1 + 0.00002 * torqueNm)));
    const percent = percentTaken(chosen);
    expect(percent).toBeGreaterThan(33);
    expect(chosen.reason).toContain(`this one takes ${percent}\u202f% off the largest interpolation error`);
  });

  it('stays one where the next degree takes away too little, and says how little', () => {
    // One step in the middle stands out by 0.2 %, which no curve of the second degree follows, beside a slight bend.
    const chosen = choose(
      seriesOf((torqueNm) => 4000 * torqueNm * (1 + 0.001 * (torqueNm === 90 ? 1 : -1) + 3e-6 * torqueNm), {
        noiseCounts: 5,
      }),
    );
    const percent = percentTaken(chosen);
    expect(chosen.fit.model.degree).toBe(1);
    expect(percent).toBeGreaterThan(0);
    expect(percent).toBeLessThan(34);
    expect(chosen.reason).toContain(
      `A quadratic curve would take away only ${percent}\u202f% of its largest interpolation error.`,
    );
  });

  it('stays one where the next degree would turn back within the range', () => {
    // A transducer at its end: the parabola through zero that follows it has its top before the last step.
    const chosen = choose(
      seriesOf((torqueNm) => 400_000 * (1 - Math.exp(-torqueNm / 40)), { torquesNm: [30, 60, 90, 120, 180] }),
    );
    expect(chosen.candidates[1]?.isMonotone).toBe(false);
    expect(chosen.fit.model.degree).toBe(1);
    expect(chosen.reason).toContain('A quadratic curve would turn back within the range.');
  });

  it('is at most the number of levels less three', () => {
    const bent = (torqueNm: number) => 4000 * torqueNm * (1 + 0.0005 * torqueNm);
    const degreesTried = (levels: number) =>
      choose(seriesOf(bent, { torquesNm: TORQUES_NM.slice(0, levels) })).candidates.map(
        ({ fit }) => fit.model.degree,
      );
    expect(degreesTried(6)).toEqual([1, 2, 3]);
    expect(degreesTried(5)).toEqual([1, 2]);
    expect(degreesTried(4)).toEqual([1]);
  });

  it('is three at most, however many levels there are', () => {
    const chosen = choose(
      seriesOf((torqueNm) => 4000 * torqueNm * (1 + 0.0005 * torqueNm), {
        torquesNm: [30, 60, 90, 120, 150, 180, 210, 240],
      }),
    );
    expect(chosen.candidates.map(({ fit }) => fit.model.degree)).toEqual([1, 2, 3]);
  });

  it('is told with its p as a number from 0.0001 on', () => {
    const chosen = choose(
      seriesOf((torqueNm) => 4000 * torqueNm * (1 + 0.00002 * torqueNm), { noiseCounts: 230 }),
    );
    const p = chosen.candidates[0]?.lackOfFit?.p ?? Number.NaN;
    expect(p).toBeGreaterThan(1e-4);
    expect(p).toBeLessThan(0.01);
    expect(chosen.reason).toContain(`(lack of fit, p ${p.toFixed(4)})`);
    const clear = choose(seriesOf((torqueNm) => 4000 * torqueNm * (1 + 0.0002 * torqueNm)));
    expect(clear.reason).toContain('(lack of fit, p under 0.0001)');
  });

  it('stays one where nothing is repeated, since nothing tells', () => {
    const [only] = seriesOf((torqueNm) => 4000 * torqueNm * (1 + 0.0005 * torqueNm));
    const chosen = choose(only === undefined ? [] : [only]);
    expect(chosen.fit.model.degree).toBe(1);
    expect(chosen.lackOfFit).toBeNull();
    expect(chosen.reason).toContain('Nothing is repeated');
  });

  it('is the operator’s where he gives a reason, with a constant if he wants one', () => {
    const override = {
      sense: 'forward',
      degree: 1,
      hasConstant: true,
      reason: 'the certificate has one',
    } as const;
    const chosen = chooseFit(
      seriesOf((torqueNm) => 20 + 4000 * torqueNm),
      1,
      override,
      distributions,
    );
    expect(chosen.fit.model).toEqual({ degree: 1, throughZero: false });
    expect(chosen.overrideReason).toBe('the certificate has one');
    expect(chosen.fit.coefficients[0]).toBeCloseTo(20, -2);
  });

  it('is refused where the operator’s curve turns back within the range', () => {
    const override = { sense: 'forward', degree: 2, hasConstant: false, reason: 'to see' } as const;
    const turning = seriesOf((torqueNm) => 4000 * torqueNm - 15 * torqueNm ** 2);
    expect(() => chooseFit(turning, 1, override, distributions)).toThrow(
      expect.objectContaining({ code: 'calibration-degenerate' }),
    );
  });
});

describe('a curve that rises throughout', () => {
  const rises = (coefficients: number[], toNm: number) =>
    isMonotone({ coefficients, model: { degree: coefficients.length, throughZero: true } }, toNm);

  it('is told from one that turns at the end, in the middle, or on the way down', () => {
    expect(rises([1, 0.01], 100)).toBe(true);
    expect(rises([1, -0.006], 100)).toBe(false);
    // Slope 1 - 0.04 x + 0.00036 x^2 is negative from 37.7 to 73.4 only.
    expect(rises([1, -0.02, 0.00012], 100)).toBe(false);
    expect(rises([1, -0.02, 0.00012], 30)).toBe(true);
    expect(rises([-1, 0.006], 100)).toBe(false);
    // Falling at the very beginning, or standing still there.
    expect(rises([-0.005, 0.01], 100)).toBe(false);
    expect(rises([0, 0.01], 100)).toBe(false);
  });

  it('is told by its slope, whatever its constant is', () => {
    const withConstant = (coefficients: number[]) =>
      isMonotone({ coefficients, model: { degree: coefficients.length - 1, throughZero: false } }, 100);
    expect(withConstant([-50, 1, 0.01])).toBe(true);
    expect(withConstant([50, 1, -0.006])).toBe(false);
  });
});

describe('the scatter of repeats', () => {
  it('leaves out what a mounting multiplies, and has (L - 1)(n - 1) degrees of freedom', () => {
    const scatter = repeatScatter(
      seriesOf((torqueNm) => 4000 * torqueNm, { mountingScatter: 0.01, noiseCounts: 5 }),
    );
    expect(scatter?.degreesOfFreedom).toBe(10);
    expect(scatter?.standardDeviationCounts).toBeGreaterThan(2);
    expect(scatter?.standardDeviationCounts).toBeLessThan(9);
  });

  it('is known from two series of two steps on', () => {
    const [first, second] = seriesOf((torqueNm) => 4000 * torqueNm, { torquesNm: [30, 60] });
    expect(repeatScatter(first && second ? [first, second] : [])?.degreesOfFreedom).toBe(1);
    expect(repeatScatter(first ? [first] : [])).toBeNull();
  });

  it('of one step is that of its repeats within each mounting, without a scale', () => {
    const once = (mounting: number, counts: number): Series => ({
      sense: 'forward',
      mounting,
      zeroBeforeCounts: 0,
      zeroShiftCounts: 0,
      increasing: [{ index: 0, level: 1, arm: 'arm', torqueNm: 30, counts }],
      decreasing: [],
    });
    // By hand: 1 + 1 + 9 + 9 on two degrees of freedom; the mounting with one reading says nothing.
    const scatter = repeatScatter([once(1, 99), once(1, 101), once(2, 197), once(2, 203), once(3, 500)]);
    expect(scatter?.standardDeviationCounts).toBeCloseTo(Math.sqrt(10), 12);
    expect(scatter?.degreesOfFreedom).toBe(2);
    expect(repeatScatter([once(1, 99), once(1, 101)])?.degreesOfFreedom).toBe(1);
    expect(repeatScatter([once(1, 99), once(2, 101)])).toBeNull();
  });
});

/** Fit, class: readings made up for the purpose, figures computed elsewhere by formulas from memory (CHECKS C3). */
describe('the made-up set of class 0.2', () => {
  const { results } = example.inventedExample;
  const run = torqueClassRun();
  const series = collectSeries(run.readings, run.taken, 'forward');
  const figures = stepFigures(series);

  it.each([
    ['a line through zero', 1, false, results.linearThroughZero.coef, results.linearThroughZero.fa_pct],
    [
      'a cubic without a constant',
      3,
      false,
      results.cubicNoConstant.coef_M_M2_M3,
      results.cubicNoConstant.fa_pct,
    ],
    [
      'a line with a constant',
      1,
      true,
      results.straightWithIntercept.coef,
      results.straightWithIntercept.fa_pct,
    ],
  ])('is fitted by %s as published with it', (_, degree, hasConstant, coefficients, interpolation) => {
    const { fit } = chooseFit(
      fittedSeries(series),
      1,
      { sense: 'forward', degree, hasConstant, reason: 'as in the example' },
      distributions,
    );
    coefficients.forEach((value, index) => {
      expect((fit.coefficients[index] ?? 0) / SCALE / value - 1).toBeCloseTo(0, 6);
    });
    figures.forEach(({ torqueNm, meanDeflectionCounts }, index) => {
      const fitted = evaluateFit(fit, torqueNm);
      expect((100 * (meanDeflectionCounts - fitted)) / fitted).toBeCloseTo(
        interpolation[index] ?? Number.NaN,
        8,
      );
    });
  });

  const classified = (appliedTorquePercent: number): ClassifiedStep[] =>
    figures.map((figure, index) => ({
      ...figure,
      interpolationPercent: results.linearThroughZero.fa_pct[index] ?? Number.NaN,
      appliedTorquePercent,
    }));

  it('reaches class 0.2 from its lowest step', () => {
    expect(classify(classified(0.01), zeroReturnPercent(series), 3)).toMatchObject({
      reached: results.linearThroughZero.cls,
      fromNm: 20,
      reason: { isFromMemory: true },
    });
  });

  it('reaches only the class that the torque applied is known well enough for', () => {
    expect(classify(classified(0.15), zeroReturnPercent(series), 3).reached).toBe(1);
  });

  it('reaches no class with two mountings, and says so', () => {
    const none = classify(classified(0.01), zeroReturnPercent(series), 2);
    expect(none.reached).toBeNull();
    expect(none.reason.sentence).toContain('takes 3 mountings');
  });
});

/** Rule from memory; the figure recomputed from Pontius (CHECKS C2). */
describe('the ASTM lower limit', () => {
  const points = pontius.x.map((x, index) => ({ x, y: pontius.y[index] ?? Number.NaN }));

  it('is 2.4 times the scatter about the curve, turned into load by the chord', () => {
    const fit = fitPolynomial(points, { degree: 2, throughZero: false }, distributions);
    const limit = lowerLimit({
      pointCount: points.length,
      levelCount: new Set(pontius.x).size,
      residualStandardDeviationCounts: fit.residualStandardDeviation,
      nmPerCount: 3_000_000 / evaluateFit(fit, 3_000_000),
    });
    expect((limit.lowerLimitFactorNm ?? 0) / 681.2742 - 1).toBeCloseTo(0, 5);
    expect((limit.classANm ?? 0) / 272_509.7 - 1).toBeCloseTo(0, 5);
    expect((limit.classAANm ?? 0) / 1_362_548.4 - 1).toBeCloseTo(0, 5);
    expect(limit.reason.isFromMemory).toBe(true);
  });

  it('is not given for too few readings', () => {
    const few = { pointCount: 24, levelCount: 8, residualStandardDeviationCounts: 1, nmPerCount: 1 };
    expect(lowerLimit(few)).toMatchObject({ lowerLimitFactorNm: null, classANm: null, classAANm: null });
  });
});

describe('the scale of a series', () => {
  it('is how much more it reads than the mean of all, whatever the counts', () => {
    const steps = [{ index: 0, level: 1, arm: 'arm' as const, torqueNm: 30, counts: 1.05 }];
    expect(scaleOf(steps, new Map([[30, 1]]))).toBeCloseTo(1.05, 12);
    expect(scaleOf(steps, new Map([[30, 0]]))).toBe(1);
  });
});

describe('a cubic curve', () => {
  it('rises throughout where its least slope is above zero: c1 - c2^2 / (3 c3)', () => {
    const rises = (c2: number, toNm = 2) =>
      isMonotone({ coefficients: [1, c2, 1 / 3], model: { degree: 3, throughZero: true } }, toNm);
    expect(rises(-0.99)).toBe(true);
    expect(rises(-1.01)).toBe(false);
    // Its least slope lies at 1.01, beyond the range.
    expect(rises(-1.01, 0.8)).toBe(true);
  });
});
