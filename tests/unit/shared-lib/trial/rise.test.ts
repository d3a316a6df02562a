import { describe, expect, it } from 'vitest';
import { evenInstants } from '../../../../shared-lib/trial/curve-instants.ts';
import { fitSaturatingRise } from '../../../../shared-lib/trial/fit-saturating-rise.ts';
import { riseModel, riseNmPerS } from '../../../../shared-lib/trial/rise.ts';
import type { TrialRun } from '../../../../shared-lib/trial/trial-run.ts';
import type { RiseModel } from '../../../../shared-lib/trial/trial-model.ts';
import { refusalOf, valueOf } from './read-measure.ts';
import { createNoise, synthesise } from './synthetic-run.ts';

const runOf = (torqueNm: (timeS: number) => number, plannedS = 5, rateHz = 1000): TrialRun =>
  synthesise({ rateHz, plannedS, onsetS: 0, torqueNm });
const saturating =
  (tauS: number) =>
  (t: number): number =>
    t > 0 ? 300 * (1 - Math.exp(-t / tauS)) : 0;
const modelOf = (model: RiseModel): Exclude<RiseModel, { refused: string }> => {
  if ('refused' in model) throw new Error(model.refused);
  return model;
};

describe('riseNmPerS', () => {
  it.each([40, 1000, 40_000])('is the slope of a ramp at %d Sa/s', (rateHz) => {
    expect(valueOf(riseNmPerS(runOf((t) => 50 + 400 * t, 5, rateHz)))).toBeCloseTo(400, 8);
  });

  it('is between the slopes at both ends of a saturating rise, and near that of the middle', () => {
    // As for still climbing: (S/tau) exp(-0.25/tau) times at most sinh(0.25/tau)/(0.25/tau) = 1.0166 for tau = 0.8 s. The
    // window's half length is smoothed in, which lowers the slope at the very beginning only.
    const middle = (300 / 0.8) * Math.exp(-0.25 / 0.8);
    const value = valueOf(riseNmPerS(runOf(saturating(0.8))));
    expect(value).toBeGreaterThan(0.99 * middle);
    expect(value).toBeLessThan(1.0166 * middle);
  });

  it('is the median of all slopes between 100 instants, the first at onset and the last at 500 ms', () => {
    const run = runOf((t) => 4000 * Math.max(0, t) ** 3, 5, 40_000);
    const times = Array.from({ length: 100 }, (_, index) => (0.5 * index) / 99);
    const torqueAt = (t: number): number => {
      const position = run.onsetIndex + t * run.sampleRateHz;
      const before = Math.floor(position);
      const [low = 0, high = 0] = run.measuringNm.slice(before, before + 2);
      return low + (position - before) * (high - low);
    };
    const slopes = times
      .flatMap((a, i) => times.slice(0, i).map((b) => (torqueAt(a) - torqueAt(b)) / (a - b)))
      .toSorted((a, b) => a - b);
    // 4950 slopes: the median is the mean of the two in the middle.
    const median = ((slopes[2474] ?? 0) + (slopes[2475] ?? 0)) / 2;
    expect(valueOf(riseNmPerS(run)) / median).toBeCloseTo(1, 9);
  });

  it('is found through noise', () => {
    const noise = createNoise(23);
    const value = valueOf(riseNmPerS(runOf((t) => 50 + 400 * t + 10 * noise())));
    expect(Math.abs(value - 400)).toBeLessThan(20);
  });

  it('is refused without half a second of run, record or values', () => {
    const run = runOf((t) => 400 * t);
    expect(refusalOf(riseNmPerS({ ...run, plannedS: 0.4 }))).toContain('at least 0.5\u202fs');
    expect(refusalOf(riseNmPerS({ ...run, onsetIndex: 6700 }))).toContain('0.30\u202fs after onset');
    // Of 7001 samples the last lies 500 ms after this one.
    expect(valueOf(riseNmPerS({ ...run, onsetIndex: 6500, plannedS: 0.5 }))).toBeGreaterThan(0);
    run.measuringNm.fill(Number.NaN, 1000, 1400);
    expect(refusalOf(riseNmPerS(run))).toContain('too many samples are lost');
  });
});

describe('riseModel', () => {
  it.each([0.4, 0.8, 1.6])('finds torque and time constant of a rise that has them: %d s', (tauS) => {
    // The curve is 300 (1 - q exp(-t/tau)), q - 1 = (0.1/2tau)^2/6 (measures.test.ts): 0.3 % at 0.4 s; only the first half
    // window, which reaches back before the rise, differs more.
    const model = modelOf(riseModel(runOf(saturating(tauS)), null));
    expect(Math.abs(model.torqueNm / 300 - 1)).toBeLessThan(0.001);
    expect(Math.abs(model.timeConstantS / tauS - 1)).toBeLessThan(0.01);
    expect(model.torqueStandardErrorNm).toBeLessThan(0.3);
  });

  it('has a standard error that noise makes as large as the scatter it causes', () => {
    const noise = createNoise(91);
    const models = Array.from({ length: 60 }, () =>
      modelOf(
        riseModel(
          runOf((t) => saturating(0.8)(t) + 30 * noise()),
          null,
        ),
      ),
    );
    const mean = models.reduce((sum, { torqueNm }) => sum + torqueNm, 0) / models.length;
    const scatter = Math.sqrt(
      models.reduce((sum, { torqueNm }) => sum + (torqueNm - mean) ** 2, 0) / (models.length - 1),
    );
    const stated = models.reduce((sum, model) => sum + model.torqueStandardErrorNm, 0) / models.length;
    expect(Math.abs(mean - 300)).toBeLessThan(1);
    // 60 runs know a standard deviation to 9 %.
    expect(stated / scatter).toBeGreaterThan(0.75);
    expect(stated / scatter).toBeLessThan(1.35);
  });

  it('needs a run of three time constants', () => {
    expect(refusalOf(riseModel(runOf(saturating(1.8)), null))).toBe(
      'The rise model needs a run of at least three time constants, here 5.4\u202fs; this one has 5.0\u202fs.',
    );
  });

  it('is refused for a curve that does not bend towards a torque', () => {
    expect(
      refusalOf(
        riseModel(
          runOf((t) => Math.max(0, 50 * t)),
          null,
        ),
      ),
    ).toMatch(/three time constants|does not bend/);
    expect(
      refusalOf(
        riseModel(
          runOf((t) => Math.max(0, t) ** 3),
          null,
        ),
      ),
    ).toMatch(/three time constants|does not bend/);
    expect(
      refusalOf(
        riseModel(
          runOf(() => -100),
          null,
        ),
      ),
    ).toContain('does not bend');
  });

  it('is refused where its torque is known to no better than 3 %', () => {
    const noise = createNoise(7);
    const refusal = refusalOf(
      riseModel(
        runOf((t) => saturating(0.8)(t) + 1000 * noise()),
        null,
      ),
    );
    expect(refusal).toMatch(/standard error of \d+\.\d\u202f%, more than 3\u202f%/);
    // Noise of 1000 N.m in means over 101 samples: 100 N.m, and 50 independent ones on a plateau of 300 N.m: about 5 %.
    const percent = Number(/error of ([\d.]+)/.exec(refusal)?.[1]);
    expect(percent).toBeGreaterThan(3);
    expect(percent).toBeLessThan(10);
  });

  it('says how large that error is: of the fit that is held to NIST Misra1a, over root of the instants that share a window', () => {
    const run = runOf((t) => saturating(0.8)(t) + 400 * Math.sin(2 * Math.PI * 2 * t));
    const instants = evenInstants(run, 0, 5, 1000);
    if (instants === null) throw new Error('The run is whole.');
    const fit = fitSaturatingRise(instants.timesS, instants.torqueNm, { amplitude: 300, rate: 1.25 });
    if (fit === null) throw new Error('There is no fit.');
    // 1000 instants of 5 s, 101 ms each.
    const sharing = (0.101 * 999) / 5;
    const percent = (100 * fit.amplitudeStandardError * Math.sqrt(sharing)) / fit.amplitude;
    expect(percent).toBeGreaterThan(10);
    expect(refusalOf(riseModel(run, null))).toContain(`standard error of ${percent.toFixed(1)}\u202f%`);
  });

  it('is refused where the measuring window hides the rise', () => {
    expect(
      refusalOf(
        riseModel(
          runOf((t) => (t >= 0 ? 300 : 0)),
          null,
        ),
      ),
    ).toContain('0.10\u202fs, over which the curve is averaged');
  });

  it('is refused where a rise is over between two of its 1000 instants', () => {
    // 300 s over 999 distances.
    const run = synthesise({ rateHz: 100, plannedS: 300, onsetS: 0, torqueNm: (t) => (t > 0 ? 300 : 0) });
    const run1000 = synthesise({ rateHz: 100, plannedS: 2000, onsetS: 0, torqueNm: saturating(2.001) });
    expect(refusalOf(riseModel(run, null))).toContain('within 0.30\u202fs');
    expect(refusalOf(riseModel(run1000, null))).toContain('within 2.00\u202fs');
  });

  it('is given where the record ends exactly with the run', () => {
    const run = runOf(saturating(0.8), 4);
    // Of 6001 samples the last lies 5 s after this one, where the torque begins.
    expect(modelOf(riseModel({ ...run, plannedS: 5 }, null)).torqueNm).toBeCloseTo(300, 0);
  });

  it('is refused for a run that is not whole', () => {
    const run = runOf(saturating(0.8));
    expect(refusalOf(riseModel({ ...run, plannedS: 9 }, null))).toContain('6.00\u202fs after onset');
    expect(refusalOf(riseModel(run, 3))).toContain('the torque fell away 3.00\u202fs after onset');
    run.measuringNm.fill(Number.NaN, 1500, 5000);
    expect(refusalOf(riseModel(run, null))).toContain('too many samples are lost');
  });
});
