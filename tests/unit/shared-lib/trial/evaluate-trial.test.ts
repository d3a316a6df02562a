import { describe, expect, it } from 'vitest';
import { DEFINITION_VERSION } from '../../../../shared-lib/trial/definition-version.ts';
import { evaluateTrial, type TrialEvaluationInput } from '../../../../shared-lib/trial/evaluate-trial.ts';
import { trialFiguresSchema } from '../../../../shared-lib/trial/trial-model.ts';
import { calibration, rise, trialOf, ZERO_COUNTS } from './synthetic-trial.ts';

describe('evaluateTrial', () => {
  it('is judged by the faults of its record, not by those seen while the transducer was unloaded', () => {
    const input = trialOf();
    const recordS = input.counts.length / input.sampleRateHz;
    const silenceAt = (atS: number) =>
      evaluateTrial({
        ...input,
        faults: [
          { kind: 'silence', at: '2026-01-01T00:00:00.000Z', atS, count: 1, sentence: 'No line came.' },
        ],
      }).quality.verdict;
    expect(silenceAt(recordS)).toBe('look');
    expect(silenceAt(recordS + 0.001)).toBe('good');
  });

  it('measures a saturating rise by its closed form', () => {
    // The measuring curve is 300 (1 - q exp(-t / tau)), q as derived in measures.test.ts. It reaches X at tau ln(q / (1 - X / 300)).
    const q = Math.sinh(0.101 / 1.6) / (101 * Math.sinh(0.001 / 1.6));
    const reaches = (levelNm: number): number => 0.8 * Math.log(q / (1 - levelNm / 300));
    const figures = evaluateTrial(trialOf());

    // At 5 N.m the window still reaches back before the rise, so onset is taken from the figures and only bounded here.
    const onsetS = (figures.onsetS ?? Number.NaN) - 1;
    expect(onsetS).toBeGreaterThan(reaches(5) - 0.05);
    expect(onsetS).toBeLessThan(reaches(5) + 0.05);

    // Counts are rounded to 1e-4 N.m; slopes are above 1 N.m/s wherever a time is compared.
    const curve = (timeS: number): number => 300 * (1 - q * Math.exp(-(timeS + onsetS) / 0.8));
    const lastSample = Math.floor((figures.onsetS ?? 0) * 1000 + 5000) / 1000 - 1;
    expect(figures.sustainedTorqueNm).toEqual({
      value: expect.closeTo(curve(lastSample - 0.249 - onsetS), 3) as number,
    });
    expect(figures.torqueAt).toEqual(
      [1, 2, 3, 5].map((atS) => ({ atS, torqueNm: { value: expect.closeTo(curve(atS), 3) as number } })),
    );
    expect(figures.timeToLevel).toEqual([
      { levelNm: 200, timeS: expect.closeTo(reaches(200) - onsetS, 4) as number },
      { levelNm: 299.9, timeS: null },
    ]);
    expect(figures.highestReadingNm).toEqual({ value: expect.closeTo(rise(lastSample), 3) as number });
    expect(figures.quality).toEqual({ verdict: 'good', reasons: [] });
    expect(figures).toMatchObject({
      definitionVersion: DEFINITION_VERSION,
      calibrationId: 'cal-1',
      sampleRateHz: 1000,
      windowS: 0.101,
      onsetLevelNm: 5,
    });
    expect(trialFiguresSchema.parse(figures)).toEqual(figures);
  });

  it('says that it is by definition 4, under which trials are stored: another number needs another definition', () => {
    expect(evaluateTrial(trialOf()).definitionVersion).toBe(4);
  });

  it('has torque at each of six instants where the run is long enough', () => {
    const { torqueAt } = evaluateTrial(trialOf({ plannedS: 15 }));
    expect(torqueAt.map(({ atS }) => atS)).toEqual([1, 2, 3, 5, 10, 15]);
  });

  it('reads a record of one sample a second, and refuses what it does not carry', () => {
    const { quality, sustainedTorqueNm } = evaluateTrial(trialOf({ rateHz: 1 }));
    expect('refused' in sustainedTorqueNm).toBe(true);
    expect(quality.reasons.map(({ code }) => code)).toContain('rateTooLow');
  });

  it('carries the measures of its whole run, each by its own definition', () => {
    const figures = evaluateTrial(trialOf());
    // The integral of 300 (1 - exp(-t/tau)) over 5 s from onset.
    const onsetS = (figures.onsetS ?? Number.NaN) - 1;
    const impulse = 300 * (5 - 0.8 * (Math.exp(-onsetS / 0.8) - Math.exp(-(onsetS + 5) / 0.8)));
    const fromZero = onsetS >= 0 ? impulse : 300 * (5 + onsetS - 0.8 * (1 - Math.exp(-(onsetS + 5) / 0.8)));
    expect(figures.impulseNms).toEqual({ value: expect.closeTo(fromZero, 2) as number });
    expect(figures.riseNmPerS).toEqual({
      value: expect.closeTo((300 / 0.8) * Math.exp(-0.25 / 0.8), -1) as number,
    });
    expect(figures.riseModel).toMatchObject({ torqueNm: expect.closeTo(300, -1) as number });
    expect(figures.stillClimbingPercentPerS).toMatchObject({ value: expect.closeTo(0.9, 0) as number });
    expect(figures.levelledOffSinceS).toBeGreaterThan(3);
    expect(figures.blowRateHz).toHaveProperty('refused');
    expect(figures.triggerS).toBe(5);
    const blows = (t: number): number => rise(t) + (t > 0 ? 20 * Math.sin(2 * Math.PI * 30 * t) : 0);
    expect(evaluateTrial(trialOf({ torqueNm: blows })).blowRateHz).toEqual({
      value: expect.closeTo(30, 1) as number,
    });
  });

  it('takes what the profile knows of the amplifier for the blow rate', () => {
    const blows = (t: number): number => (t > 0 ? 300 + 20 * Math.sin(2 * Math.PI * 22 * t) : 0);
    const plain = trialOf({ rateHz: 80, torqueNm: blows });
    const { conditions } = plain;
    const profile = { ...conditions.profile, antiAliasBandwidthHz: 40 };
    expect(evaluateTrial(plain).blowRateHz).toHaveProperty('refused');
    expect(evaluateTrial({ ...plain, conditions: { ...conditions, profile } }).blowRateHz).toHaveProperty(
      'value',
    );
  });

  it('says how long the tool pulled: to its stop, the planned time, or the end of the record', () => {
    const stopped = evaluateTrial(trialOf({ torqueNm: (t) => (t < 3 ? rise(t) : 0) }));
    // Onset lies some hundredths of a second behind the beginning; the stop shows within half a window.
    expect(Math.abs((stopped.triggerS ?? Number.NaN) - 3)).toBeLessThan(0.06);
    expect(stopped.stillClimbingPercentPerS).toHaveProperty('refused');
    const plain = trialOf();
    expect(evaluateTrial(plain).triggerS).toBe(5);
    const cut = evaluateTrial({ ...plain, counts: plain.counts.slice(0, 3000) });
    expect(cut.triggerS).toBeCloseTo(2.999 - (cut.onsetS ?? Number.NaN), 9);
    expect(evaluateTrial(trialOf({ torqueNm: () => 1 })).triggerS).toBeNull();
  });

  it('gives a reverse trial the same positive figures as the forward trial it mirrors', () => {
    expect(evaluateTrial(trialOf({ direction: 'reverse' }))).toEqual(evaluateTrial(trialOf()));
  });

  it('gives the same figures through a reaction arm, with the sign turned', () => {
    const plain = trialOf();
    const turned: TrialEvaluationInput = {
      ...plain,
      counts: plain.counts.map((count) => 2 * ZERO_COUNTS - count),
      conditions: { ...plain.conditions, transducer: { ...plain.conditions.transducer, senseSign: -1 } },
    };
    expect(evaluateTrial(turned)).toEqual(evaluateTrial(plain));
  });

  it('scales times by the fitted rate and leaves windows to the nominal one', () => {
    const plain = trialOf({ plannedS: 4 });
    const fitted = evaluateTrial({ ...plain, sampleRateHz: 1010 });
    const nominal = evaluateTrial(plain);
    expect(fitted.timeToLevel[0]?.timeS).toBeCloseTo((nominal.timeToLevel[0]?.timeS ?? Number.NaN) / 1.01, 9);
    expect(fitted.windowS).toBe(0.101);
  });

  it('leaves out the checkpoints beyond the planned time', () => {
    expect(evaluateTrial(trialOf({ plannedS: 2.5 })).torqueAt.map(({ atS }) => atS)).toEqual([1, 2]);
  });

  it('counts the lost samples of the run and measures around them', () => {
    const plain = trialOf();
    const gaps = [{ offset: 3000, length: 40 }];
    const counts = plain.counts.slice().fill(0, 3000, 3040);
    const { quality, torqueAt } = evaluateTrial({ ...plain, counts, gaps });
    expect(quality.verdict).toBe('look');
    expect(quality.reasons).toEqual([
      { code: 'lostSamples', severity: 'look', sentence: expect.stringContaining('(40 of 50') as string },
    ]);
    expect(torqueAt.every(({ torqueNm }) => 'value' in torqueNm)).toBe(true);
    const before = evaluateTrial({ ...plain, counts: plain.counts, gaps: [{ offset: 0, length: 500 }] });
    expect(before.quality.verdict).toBe('good');
  });

  it('sees the rails of the converter, whose bits the profile names', () => {
    const plain = trialOf();
    const withPeak = (peak: number): string[] => {
      const counts = plain.counts.slice();
      counts[3000] = peak;
      return evaluateTrial({ ...plain, counts }).quality.reasons.map(({ code }) => code);
    };
    expect(withPeak(2 ** 23 - 1)).toContain('rails');
    expect(withPeak(-(2 ** 23))).toContain('rails');
    expect(withPeak(2 ** 23 - 2)).not.toContain('rails');
  });

  it('judges zero shift, overload and range in torque', () => {
    const plain = trialOf();
    const shifted = evaluateTrial({ ...plain, zeroAfterCounts: ZERO_COUNTS - 30_000 });
    expect(shifted.quality.reasons).toEqual([
      {
        code: 'zeroShift',
        severity: 'look',
        sentence: expect.stringContaining(
          '3.00\u202fN·m (2.21\u202fft·lbf) over the trial, 0.60 %',
        ) as string,
      },
    ]);
    const strong = evaluateTrial(trialOf({ torqueNm: (t) => 1.8 * rise(t) }));
    expect(strong.quality.reasons.map(({ code }) => code)).toEqual(['overload', 'beyondCalibration']);
    const unmeasured = evaluateTrial({ ...plain, zeroAfterCounts: null });
    expect(unmeasured.quality.reasons.map(({ code }) => code)).toEqual(['zeroNotMeasured']);
  });

  it('marks a trial in a sense that was not calibrated, also where a reaction arm swaps the senses', () => {
    const oneSense = { ...calibration, reverse: null };
    const codes = (input: TrialEvaluationInput): string[] =>
      evaluateTrial({ ...input, calibration: oneSense }).quality.reasons.map(({ code }) => code);
    expect(codes(trialOf())).toEqual([]);
    expect(codes(trialOf({ direction: 'reverse' }))).toEqual(['senseNotCalibrated']);
    const { conditions } = trialOf();
    const turned = { ...conditions, transducer: { ...conditions.transducer, senseSign: -1 } } as const;
    expect(codes({ ...trialOf({ direction: 'reverse' }), conditions: turned })).toContain('noOnset');
    expect(codes({ ...trialOf({ direction: 'forward' }), conditions: turned })).toContain(
      'senseNotCalibrated',
    );
  });

  it('says when the tool stopped early and when the record is short', () => {
    const stopped = evaluateTrial(trialOf({ torqueNm: (t) => (t < 3 ? rise(t) : 0) }));
    expect(stopped.quality.reasons.map(({ code }) => code)).toEqual(['earlyStop']);
    expect('value' in stopped.sustainedTorqueNm).toBe(true);

    const plain = trialOf();
    const cut = evaluateTrial({ ...plain, counts: plain.counts.slice(0, 3000) });
    expect(cut.quality.reasons.map(({ code }) => code)).toEqual(['recordShort']);
    expect('refused' in cut.finalTorqueNm).toBe(true);
    expect('value' in cut.sustainedTorqueNm).toBe(true);
  });

  it('refuses every measure without an onset', () => {
    const figures = evaluateTrial(trialOf({ torqueNm: () => 1 }));
    expect(figures.onsetS).toBeNull();
    expect(figures.sustainedTorqueNm).toEqual({
      refused: 'No onset was found, so there is no time to measure from.',
    });
    expect(figures.timeToLevel).toEqual([
      { levelNm: 200, timeS: null },
      { levelNm: 299.9, timeS: null },
    ]);
    expect(figures.quality.reasons.map(({ code }) => code)).toEqual(['noOnset']);
  });

  it('refuses every measure under 36 Sa/s and names the rate', () => {
    const figures = evaluateTrial(trialOf({ rateHz: 20 }));
    const { sustainedTorqueNm, finalTorqueNm, timeTo90PercentS, highestReadingNm } = figures;
    for (const measure of [sustainedTorqueNm, finalTorqueNm, timeTo90PercentS, highestReadingNm]) {
      expect(measure).toEqual({
        refused: 'There is no measuring curve under 36\u202fSa/s; this trial has 20\u202fSa/s.',
      });
    }
    expect(figures.windowS).toBe(0);
    expect(figures.quality.reasons.map(({ code }) => code)).toEqual(['rateTooLow']);
  });

  it.each([0, Number.NaN])('refuses a fitted rate of %d Sa/s', (sampleRateHz) => {
    expect(() => evaluateTrial({ ...trialOf(), sampleRateHz })).toThrow(`no times at ${sampleRateHz} Sa/s`);
  });

  it('refuses a calibration without any sense', () => {
    expect(() =>
      evaluateTrial({ ...trialOf(), calibration: { ...calibration, forward: null, reverse: null } }),
    ).toThrow(expect.objectContaining({ code: 'calibration-missing' }) as Error);
  });
});
