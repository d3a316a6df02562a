import { describe, expect, it } from 'vitest';
import { fitSampleClock } from '../../../../shared-lib/signal/fit-sample-clock.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import norris from '../../../fixtures/reference-values/nist-norris.json' with { type: 'json' };

const straight = (count: number, periodUs: number, startUs: number, firstSlot = 0, step = 100) =>
  Array.from({ length: count }, (_, i) => {
    const slot = firstSlot + i * step;
    return { slot, arrivalUs: startUs + slot * periodUs };
  });

describe('fitSampleClock', () => {
  it('finds rate and start of a line exactly', () => {
    const fit = fitSampleClock(straight(50, 12_500, 3_000_000));
    expect(fit?.sampleRateHz).toBeCloseTo(80, 10);
    expect(fit?.startUs).toBeCloseTo(3_000_000, 3);
    expect(fit?.residualUs).toBeLessThan(1e-3);
  });

  it('keeps its digits at the slots and times of a long uptime', () => {
    // 2^32 slots at 25 us after 40 days: squares of the raw values would pass 2^53 by far.
    const fit = fitSampleClock(straight(200, 25, 3.5e12, 2 ** 32));
    expect(fit?.sampleRateHz).toBeCloseTo(40_000, 3);
    expect(fit?.residualUs).toBeLessThan(0.01);
  });

  it('has a rate also where a sample takes less than a microsecond', () => {
    expect(fitSampleClock(straight(50, 0.5, 0, 0, 1000))?.sampleRateHz).toBeCloseTo(2e6, 3);
  });

  it('takes three marks, and is the same whichever comes first', () => {
    const marks = straight(3, 1000, 500).map((mark, i) => ({
      ...mark,
      arrivalUs: mark.arrivalUs + (i === 1 ? 30 : 0),
    }));
    const fit = fitSampleClock(marks);
    // By hand: the mean is 10 us up, the slope untouched, so the deviations are -10, 20 and -10 us.
    expect(fit?.sampleRateHz).toBeCloseTo(1000, 9);
    expect(fit?.startUs).toBeCloseTo(510, 9);
    expect(fit?.residualUs).toBeCloseTo(Math.sqrt(200), 9);
    expect(fitSampleClock(marks.toReversed())?.startUs).toBeCloseTo(510, 9);
  });

  it('gives the residual of a known scatter: +a, -a in turn, orthogonal to the line', () => {
    // The pattern + - - + + - - + has no mean and no slope over any multiple of four equal steps,
    // so the fit is the line itself and every deviation is 300 us.
    const signs = [1, -1, -1, 1];
    const marks = straight(40, 1000, 0).map((mark, i) => ({
      ...mark,
      arrivalUs: mark.arrivalUs + 300 * (signs[i % 4] ?? 0),
    }));
    const fit = fitSampleClock(marks);
    expect(fit?.sampleRateHz).toBeCloseTo(1000, 9);
    expect(fit?.residualUs).toBeCloseTo(300, 6);
  });

  it('is not drawn to a lower rate by scatter in the arrival times', () => {
    // Alternating +-40 ms on marks 10 ms apart: slot regressed on time would read 14 % low here.
    const signs = [1, -1, -1, 1];
    const marks = straight(40, 1000, 0, 0, 10).map((mark, i) => ({
      ...mark,
      arrivalUs: mark.arrivalUs + 40_000 * (signs[i % 4] ?? 0),
    }));
    expect(fitSampleClock(marks)?.sampleRateHz).toBeCloseTo(1000, 6);
  });

  it.each([
    ['no marks', []],
    ['two marks', straight(2, 1000, 0)],
    ['one slot three times', [1, 2, 3].map((arrivalUs) => ({ slot: 7, arrivalUs }))],
    ['one time three times', [1, 2, 3].map((slot) => ({ slot, arrivalUs: 7 }))],
    ['time that runs backwards', straight(5, -1000, 0)],
    ['a time that is no number', [...straight(3, 1000, 0), { slot: 1000, arrivalUs: Number.NaN }]],
  ])('gives no rate for %s', (_, marks) => {
    expect(fitSampleClock(marks)).toBeNull();
  });
});

describe('the standard error of the rate', () => {
  it('agrees with the certified values of the data set Norris (NIST StRD), as does the line', () => {
    const { x, y, certified } = norris;
    const fit = fitSampleClock(x.map((slot, index) => ({ slot, arrivalUs: y[index] ?? Number.NaN })));
    if (!fit) throw new Error('The data set gives a line');
    const slope = 1e6 / fit.sampleRateHz;
    const slopeStandardDeviation = (fit.rateStandardErrorHz / fit.sampleRateHz) * slope;
    const residualStandardDeviation =
      fit.residualUs * Math.sqrt(x.length / certified.residualDegreesOfFreedom);
    // Certified to 15 digits; the sums here leave 10 of them in the intercept and 12 elsewhere.
    expect(slope / Number(certified.slope)).toBeCloseTo(1, 12);
    expect(slopeStandardDeviation / Number(certified.slopeStandardDeviation)).toBeCloseTo(1, 12);
    expect(residualStandardDeviation / Number(certified.residualStandardDeviation)).toBeCloseTo(1, 12);
    expect(fit.startUs / Number(certified.intercept)).toBeCloseTo(1, 10);
  });

  it('is nothing where every mark lies on the line', () => {
    expect(fitSampleClock(straight(50, 12_500, 0))?.rateStandardErrorHz).toBeLessThan(1e-9);
  });
});

describe('a simulated sender whose lines jitter', () => {
  const MARKS = 500;
  const SLOTS_PER_BLOCK = 20;
  const TRUE_RATE_HZ = 998.7;

  /** A mark is the last line of a block: its own jitter shows in it, that of the lines before it does not. */
  const marksOf = (readUs: (dueUs: number) => number) =>
    Array.from({ length: MARKS }, (_, block) => {
      const slot = (block + 1) * SLOTS_PER_BLOCK - 1;
      return { slot, arrivalUs: readUs((slot * 1e6) / TRUE_RATE_HZ) };
    });
  const seeds = Array.from({ length: 20 }, (_, index) => 1000 + index);

  it.each([50, 1500])('gives back its jitter of %i us and its rate within 4 standard errors', (jitterUs) => {
    for (const seed of seeds) {
      const random = createSeededRandom(seed, 1);
      const fit = fitSampleClock(marksOf((dueUs) => 5e9 + dueUs + jitterUs * random.gaussian()));
      if (!fit) throw new Error('The marks give a line');
      const residualSdUs = fit.residualUs * Math.sqrt(MARKS / (MARKS - 2));
      expect(Math.abs(residualSdUs - jitterUs)).toBeLessThan((4 * jitterUs) / Math.sqrt(2 * MARKS));
      expect(Math.abs(fit.sampleRateHz - TRUE_RATE_HZ)).toBeLessThan(4 * fit.rateStandardErrorHz);
    }
  });

  it('states an error of the rate that is neither too small nor too large, over many seeds', () => {
    const deviations = Array.from({ length: 400 }, (_, seed) => {
      const random = createSeededRandom(seed, 2);
      const fit = fitSampleClock(marksOf((dueUs) => dueUs + 300 * random.gaussian()));
      return fit ? (fit.sampleRateHz - TRUE_RATE_HZ) / fit.rateStandardErrorHz : Number.NaN;
    });
    const spread = Math.sqrt(deviations.reduce((sum, value) => sum + value ** 2, 0) / deviations.length);
    // Deviations in standard errors have a spread of 1, known from 400 of them to 1/sqrt(800); 4 of those.
    expect(Math.abs(spread - 1)).toBeLessThan(4 / Math.sqrt(800));
  });

  it('shows the pause between two reads as a residual of pause / sqrt(12), and the start late by half of it', () => {
    // Lines wait for the next read, in turn for every part of the pause: uniform in [0, pause).
    const pauseUs = 16_000;
    const fit = fitSampleClock(marksOf((dueUs) => Math.ceil(dueUs / pauseUs) * pauseUs));
    // A uniform variable's fourth moment makes its standard error sigma sqrt(0.2 / n); 4 of them.
    const sigmaUs = pauseUs / Math.sqrt(12);
    expect(Math.abs((fit?.residualUs ?? 0) - sigmaUs)).toBeLessThan(4 * sigmaUs * Math.sqrt(0.2 / MARKS));
    expect(Math.abs((fit?.startUs ?? 0) - pauseUs / 2)).toBeLessThan((4 * 2 * sigmaUs) / Math.sqrt(MARKS));
  });
});
