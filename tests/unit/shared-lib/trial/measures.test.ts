import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  finalTorqueNm,
  highestReadingNm,
  sustainedTorqueNm,
  timeTo90PercentS,
  timeToLevelS,
  torqueAtNm,
} from '../../../../shared-lib/trial/measures.ts';
import { findEarlyStopS } from '../../../../shared-lib/trial/find-early-stop.ts';
import type { Measure } from '../../../../shared-lib/trial/trial-model.ts';
import type { TrialRun } from '../../../../shared-lib/trial/trial-run.ts';
import { createNoise, synthesise } from './synthetic-run.ts';

const valueOf = (measure: Measure): number => {
  if ('refused' in measure) throw new Error(measure.refused);
  return measure.value;
};
const refusalOf = (measure: Measure): string => {
  if (!('refused' in measure)) throw new Error(`was given as ${measure.value}`);
  return measure.refused;
};

describe('on a ramp of 40 N.m/s from 0, with onset at 100.5 ms', () => {
  // The measuring curve is the ramp itself. At time t after onset it reads 40 (t + 0.1005). At 1000 Sa/s onset lies half-way
  // between samples, so the first sample of the run lies at 0.5 ms and the last one at 4.9995 s, where the ramp reads 204.
  const run = synthesise({ rateHz: 1000, plannedS: 5, onsetS: 0.1005, torqueNm: (t) => 40 * Math.max(0, t) });

  it('holds for 250 ms what it read at the first of the last 250 samples', () => {
    expect(valueOf(sustainedTorqueNm(run))).toBeCloseTo(204 - 249 * 0.04, 9);
  });

  it('has as final torque the middle of the last half second', () => {
    // Samples from 4.5005 to 4.9995 s after onset; a ramp's mean is that of its ends.
    expect(valueOf(finalTorqueNm(run))).toBeCloseTo(40 * ((4.5005 + 4.9995) / 2 + 0.1005), 9);
  });

  it.each([1, 2, 3, 5])('reads the ramp at %d s', (atS) => {
    expect(valueOf(torqueAtNm(run, atS))).toBeCloseTo(40 * (atS + 0.1005), 9);
  });

  it.each([10, 100, 150.3])('reaches %d N.m when the ramp does', (levelNm) => {
    expect(timeToLevelS(run, levelNm)).toBeCloseTo(levelNm / 40 - 0.1005, 9);
  });

  it('reaches 90 % of sustained when the ramp does', () => {
    const sustained = sustainedTorqueNm(run);
    expect(valueOf(timeTo90PercentS(run, sustained))).toBeCloseTo(
      (0.9 * (204 - 249 * 0.04)) / 40 - 0.1005,
      9,
    );
  });

  it('does not reach what it does not hold to the end of the run', () => {
    // The hold is 100 samples: the last level held is the one of the 100th sample from the end.
    expect(timeToLevelS(run, 204 - 99 * 0.04 - 1e-9)).not.toBeNull();
    expect(timeToLevelS(run, 204 - 99 * 0.04 + 1e-9)).toBeNull();
  });

  it('reaches a level under that of onset at 0', () => {
    expect(timeToLevelS(run, 2)).toBe(0);
  });

  it('has its highest reading at the end of the run, not in the tail', () => {
    expect(valueOf(highestReadingNm(run))).toBeCloseTo(204, 9);
  });
});

describe('on a step of 100 N.m', () => {
  // The curve climbs by 100 / 101 per sample over 101 samples; see find-onset.test.ts. Onset at 4 N.m: sample -46.96.
  const run = synthesise({
    rateHz: 1000,
    plannedS: 2,
    onsetS: -0.04696,
    torqueNm: (t) => (t >= 0 ? 100 : 0),
  });

  it('gives 100 N.m everywhere', () => {
    const measures = [sustainedTorqueNm(run), finalTorqueNm(run), torqueAtNm(run, 1), highestReadingNm(run)];
    for (const measure of measures) expect(valueOf(measure)).toBeCloseTo(100, 9);
  });

  it('takes the time that the window takes to climb', () => {
    expect(timeToLevelS(run, 54)).toBeCloseTo((0.101 * (54 - 4)) / 100, 9);
    expect(valueOf(timeTo90PercentS(run, { value: 100 }))).toBeCloseTo((0.101 * (90 - 4)) / 100, 9);
  });
});

describe.each([80, 1000, 10_000])('on a saturating rise 300 (1 - exp(-t / 0.8 s)) at %d Sa/s', (rateHz) => {
  // The mean of exp(-t/tau) over w samples d apart, centred, is q exp(-t/tau) with
  // q = sinh(w d / 2 tau) / (w sinh(d / 2 tau)), a geometric sum. So the curve is 300 (1 - q exp(-t/tau)).
  const tauS = 0.8;
  const w = { 80: 9, 1000: 101, 10_000: 1001 }[rateHz] ?? Number.NaN;
  const d = 1 / rateHz;
  const q = Math.sinh((w * d) / (2 * tauS)) / (w * Math.sinh(d / (2 * tauS)));
  const curve = (timeS: number): number => 300 * (1 - q * Math.exp(-timeS / tauS));
  const onsetS = 0.1;
  const run = synthesise({
    rateHz,
    plannedS: 5,
    onsetS,
    torqueNm: (t) => (t > 0 ? 300 * (1 - Math.exp(-t / tauS)) : 0),
  });

  it('reads the closed form at whole seconds', () => {
    for (const atS of [1, 2, 3, 5]) expect(valueOf(torqueAtNm(run, atS))).toBeCloseTo(curve(atS + onsetS), 9);
  });

  it('sustains the level at the first sample of the last 250 ms', () => {
    const lastS = 5 + onsetS;
    const holdSamples = Math.round(0.25 * rateHz);
    expect(valueOf(sustainedTorqueNm(run))).toBeCloseTo(curve(lastS - (holdSamples - 1) * d), 9);
  });

  it('reaches a level when the closed form does', () => {
    // Inverted: t = tau ln(q / (1 - X / 300)). A straight line between samples is off by at most d^2 / (8 tau).
    const expected = tauS * Math.log(q / (1 - 200 / 300)) - onsetS;
    expect(Math.abs((timeToLevelS(run, 200) ?? Number.NaN) - expected)).toBeLessThanOrEqual(
      (d * d) / (8 * tauS) + 1e-12,
    );
  });

  it('has as final torque the mean of its last half second', () => {
    // A sum over the samples themselves, from the formula: no window is involved.
    let sumNm = 0;
    const count = Math.round(0.5 * rateHz) + 1;
    for (let i = 0; i < count; i += 1) sumNm += 300 * (1 - Math.exp(-(4.5 + onsetS + i * d) / tauS));
    expect(valueOf(finalTorqueNm(run))).toBeCloseTo(sumNm / count, 9);
  });
});

describe('on a sine of 30 N.m and 2 Hz on a constant 200 N.m at 1000 Sa/s', () => {
  // A centred mean over w samples multiplies a sine by D = sin(w x) / (w sin x), x = pi f d (a sum of unit vectors).
  // The crests are put half-way between samples; the best 250 ms then lie symmetrically about one, their ends 124.5 ms away.
  const x = (Math.PI * 2) / 1000;
  const damping = Math.sin(101 * x) / (101 * Math.sin(x));
  const run = synthesise({
    rateHz: 1000,
    plannedS: 5,
    onsetS: 0,
    torqueNm: (t) => 200 + 30 * Math.cos(2 * Math.PI * 2 * (t - 0.1005)),
  });

  it('sustains what the damped sine holds about a crest', () => {
    const expected = 200 + 30 * damping * Math.cos(2 * Math.PI * 2 * 0.1245);
    expect(valueOf(sustainedTorqueNm(run))).toBeCloseTo(expected, 9);
  });

  it('reads the damped sine at whole seconds', () => {
    expect(valueOf(torqueAtNm(run, 1))).toBeCloseTo(
      200 + 30 * damping * Math.cos(2 * Math.PI * 2 * 0.8995),
      9,
    );
  });

  it('has its highest reading at the raw crest, half a sample aside', () => {
    expect(valueOf(highestReadingNm(run))).toBeCloseTo(200 + 30 * Math.cos(2 * Math.PI * 2 * 0.0005), 9);
  });
});

describe('with white noise of s = 5 N.m on a constant 200 N.m', () => {
  // Means of n samples scatter by s / sqrt(n). Five standard deviations, and the seed is fixed.
  const noise = createNoise(7);
  const run = synthesise({ rateHz: 1000, plannedS: 5, onsetS: 0, torqueNm: () => 200 + 5 * noise() });

  it('finds the constant within what the number of samples allows', () => {
    expect(Math.abs(valueOf(finalTorqueNm(run)) - 200)).toBeLessThan((5 * 5) / Math.sqrt(501));
    expect(Math.abs(valueOf(torqueAtNm(run, 2)) - 200)).toBeLessThan((5 * 5) / Math.sqrt(101));
    expect(Math.abs(valueOf(sustainedTorqueNm(run)) - 200)).toBeLessThan((5 * 5) / Math.sqrt(101));
  });

  it('has a highest reading several s above it, which is why no tool is compared by it', () => {
    expect(valueOf(highestReadingNm(run))).toBeGreaterThan(210);
  });
});

describe('sustained torque', () => {
  it('is the greatest least value of any 250 ms without a gap', () => {
    const valueOrGap = fc.oneof(
      { weight: 12, arbitrary: fc.integer({ min: -50, max: 50 }) },
      fc.constant(Number.NaN),
    );
    fc.assert(
      fc.property(fc.array(valueOrGap, { minLength: 2, maxLength: 80 }), (values) => {
        // 40 Sa/s: 250 ms are 10 samples. Onset at sample 0, the run as long as the record.
        const measuringNm = Float64Array.from(values);
        const run: TrialRun = {
          rawNm: measuringNm,
          measuringNm,
          windowSamples: 1,
          onsetIndex: 0,
          plannedS: (values.length - 1) / 40,
          nominalRateHz: 40,
          sampleRateHz: 40,
        };
        const stretches = values
          .map((_, i) => values.slice(i, i + 10))
          .filter((stretch) => stretch.length === 10);
        const levels = stretches
          .filter((stretch) => !stretch.some(Number.isNaN))
          .map((stretch) => Math.min(...stretch));
        const sustained = sustainedTorqueNm(run);
        if (levels.length === 0) expect(refusalOf(sustained)).toContain('without a gap');
        else expect(sustained).toEqual({ value: Math.max(...levels) });
      }),
    );
  });
});

describe('windows follow the nominal rate, the time axis the fitted one', () => {
  it('keeps holds in samples while times stretch', () => {
    const nominal = synthesise({
      rateHz: 1000,
      plannedS: 4,
      onsetS: 0.1,
      torqueNm: (t) => 40 * Math.max(0, t),
    });
    const fitted: TrialRun = { ...nominal, plannedS: 2, sampleRateHz: 2000 };
    expect(timeToLevelS(fitted, 100)).toBeCloseTo((timeToLevelS(nominal, 100) ?? Number.NaN) / 2, 9);
    expect(sustainedTorqueNm(fitted)).toEqual(sustainedTorqueNm(nominal));
  });
});

describe('the standard error of final torque', () => {
  const finals = (torqueNm: (timeS: number) => number, count: number): { value: number; error: number }[] =>
    Array.from({ length: count }, () => {
      const final = finalTorqueNm(synthesise({ rateHz: 1000, plannedS: 2, onsetS: 0, torqueNm }));
      if ('refused' in final || final.standardError === undefined) throw new Error('It has none.');
      return { value: final.value, error: final.standardError };
    });

  it('is none on a ramp, whose climbing is no chance', () => {
    const [ramp] = finals((t) => 100 + 40 * t, 1);
    // 501 samples make five batches but for one; the means of a ramp would scatter by 1.6 N.m each.
    expect(ramp?.error).toBeLessThan(0.01);
  });

  it('is as large as the scatter that it stands for, where blows and ringing tie samples together', () => {
    // A noise of which each sample keeps 90 %: the mean of 500 scatters some four times as much as of independent ones.
    const noise = createNoise(12);
    let tied = 0;
    const runs = finals(() => {
      tied = 0.9 * tied + noise();
      return 400 + tied;
    }, 300);
    const scatter = Math.sqrt(runs.reduce((sum, { value }) => sum + (value - 400) ** 2, 0) / runs.length);
    const stated = Math.sqrt(runs.reduce((sum, { error }) => sum + error ** 2, 0) / runs.length);
    expect(stated / scatter).toBeGreaterThan(0.85);
    expect(stated / scatter).toBeLessThan(1.15);
  });

  it('is left out where a tenth of a second has no sample', () => {
    const run = synthesise({ rateHz: 1000, plannedS: 2, onsetS: 0, torqueNm: () => 100 });
    run.rawNm.fill(Number.NaN, 2590, 2710);
    expect(finalTorqueNm(run)).toEqual({ value: 100 });
  });
});

describe('refusals', () => {
  const steady = (rateHz: number): TrialRun =>
    synthesise({ rateHz, plannedS: 3, onsetS: 0, torqueNm: () => 100 });

  it('names the rate that a hold of 250 ms needs', () => {
    expect(refusalOf(sustainedTorqueNm(steady(37)))).toBe(
      'Sustained torque needs at least 10 samples in 250\u202fms, so 40\u202fSa/s; this trial has 37\u202fSa/s.',
    );
    expect(refusalOf(timeTo90PercentS(steady(37), sustainedTorqueNm(steady(37))))).toContain('40\u202fSa/s');
    expect(valueOf(sustainedTorqueNm(steady(40)))).toBe(100);
    expect(valueOf(finalTorqueNm(steady(37)))).toBe(100);
  });

  it('names the rate that a window of half a second needs', () => {
    expect(refusalOf(finalTorqueNm({ ...steady(40), nominalRateHz: 19 }))).toContain('20\u202fSa/s');
  });

  it('gives no final torque of a run that is shorter than its window', () => {
    expect(refusalOf(finalTorqueNm({ ...steady(1000), plannedS: 0.4 }))).toContain('at least 0.5\u202fs');
    expect(valueOf(finalTorqueNm({ ...steady(1000), plannedS: 0.5 }))).toBe(100);
  });

  it('gives no figure from a record that ends before', () => {
    const run = { ...steady(1000), plannedS: 10 };
    expect(refusalOf(finalTorqueNm(run))).toContain('the record ends 4.00\u202fs after onset');
    expect(refusalOf(torqueAtNm(run, 5))).toContain('Torque at 5\u202fs was not recorded');
    expect(valueOf(torqueAtNm(run, 3))).toBe(100);
  });

  it('gives a figure from a record that ends exactly with the planned time', () => {
    const run = steady(1000);
    // Of its samples the last lies 4 s after onset.
    expect(valueOf(finalTorqueNm({ ...run, plannedS: 4 }))).toBe(100);
    expect(refusalOf(finalTorqueNm({ ...run, plannedS: 4.001 }))).toContain(
      'the record ends 4.00\u202fs after onset',
    );
  });

  it('gives no figure from a gap', () => {
    const run = steady(1000);
    run.measuringNm.fill(Number.NaN, 1990, 2010);
    expect(refusalOf(torqueAtNm(run, 1))).toContain('less than half of the samples');
    run.rawNm.fill(Number.NaN, 3480, 4000);
    expect(refusalOf(finalTorqueNm(run))).toContain('at least 10 samples in the last half second; 1 arrived');
    run.rawNm.fill(Number.NaN);
    expect(refusalOf(highestReadingNm(run))).toBe('No sample of the run arrived.');
  });

  it('takes no time to a level that was held only the other way', () => {
    const run = synthesise({ rateHz: 1000, plannedS: 3, onsetS: 0, torqueNm: () => -100 });
    expect(refusalOf(timeTo90PercentS(run, sustainedTorqueNm(run)))).toContain('No level was held');
    expect(highestReadingNm(run)).toEqual({ value: -100 });
  });
});

describe('a run without any torque', () => {
  it('held zero, and so took no time to nine tenths of it', () => {
    const run = synthesise({ rateHz: 1000, plannedS: 3, onsetS: 0, torqueNm: () => 0 });
    expect(sustainedTorqueNm(run)).toEqual({ value: 0 });
    expect(refusalOf(timeTo90PercentS(run, { value: 0 }))).toContain('No level was held');
  });
});

describe('findEarlyStopS', () => {
  const stopAt = (stopS: number): TrialRun =>
    synthesise({ rateHz: 1000, plannedS: 5, onsetS: 0, torqueNm: (t) => (t >= 0 && t < stopS ? 100 : 0) });

  it('finds when torque fell under half and stayed there', () => {
    // Over the step down the curve passes half its height at the step: the window holds 51 samples of 101 at the last one.
    expect(findEarlyStopS(stopAt(3.2), 100)).toBeCloseTo(3.199, 9);
  });

  it('finds none where torque stayed, came back, or fell only in the last 250 ms', () => {
    expect(findEarlyStopS(stopAt(9), 100)).toBeNull();
    expect(findEarlyStopS(stopAt(4.8), 100)).toBeNull();
    const dip = synthesise({
      rateHz: 1000,
      plannedS: 5,
      onsetS: 0,
      torqueNm: (t) => (t > 2 && t < 3 ? 0 : 100),
    });
    expect(findEarlyStopS(dip, 100)).toBeNull();
  });

  it('does not take lost samples for a stop', () => {
    const run = stopAt(9);
    run.measuringNm.fill(Number.NaN, 4000);
    expect(findEarlyStopS(run, 100)).toBeNull();
  });
});
