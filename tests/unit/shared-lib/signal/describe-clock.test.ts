import { describe, expect, it } from 'vitest';
import { describeClock, type ClockFacts } from '../../../../shared-lib/signal/describe-clock.ts';

const facts: ClockFacts = {
  source: 'sequence',
  nominalRateHz: 80,
  sampleRateHz: 80.04,
  residualUs: 1240,
  rateStandardErrorHz: 0.0016008,
  modulus: 65_536,
};

/** Thin spaces read as spaces. */
const plain = (text: string | null) => text?.replaceAll('\u202f', ' ') ?? null;
const fitOf = (more: Partial<ClockFacts>) => plain(describeClock({ ...facts, ...more }).fit);
const promiseOf = (more: Partial<ClockFacts>) => plain(describeClock({ ...facts, ...more }).promise);

describe('what a clock promises', () => {
  it('is exact places with a sequence number, up to a gap of one modulus, and one fitted rate', () => {
    const promise = promiseOf({});
    expect(promise).toContain(
      'exact as long as a gap is shorter than one modulus (65 536 samples, 13 min 39 s)',
    );
    expect(promise).toContain('every lost sample is seen and keeps its place');
    expect(promise).toContain("one rate for the trial is fitted to the computer's clock");
  });

  it('gives the length of a modulus in the size it has', () => {
    expect(promiseOf({ modulus: 256 })).toContain('(256 samples, 3.2 s)');
    expect(promiseOf({ modulus: 2 ** 32 })).toContain('(4 294 967 296 samples, 621 days)');
    expect(promiseOf({ source: 'deviceTime', modulus: 2 ** 32 })).toContain('one modulus (71 min 35 s)');
    expect(promiseOf({ modulus: null })).toContain('shorter than one modulus, and');
  });

  it('is places by the amplifier with device time, whose own error goes into the times', () => {
    const promise = promiseOf({ source: 'deviceTime', modulus: 2 ** 32 });
    expect(promise).toContain("carries the amplifier's own time");
    expect(promise).toContain('losses are seen as gaps');
    expect(promise).toContain('its error goes into the times');
  });

  it('leaves losses unseen with neither, and single samples off by the residual', () => {
    const promise = promiseOf({ source: 'arrival', modulus: null });
    expect(promise).toContain('a lost sample cannot be seen');
    expect(promise).toContain('A single sample may be off by the residual');
    expect(promise).toContain('the trial as a whole by the standard error');
  });

  it('is said without a fit', () => {
    expect(promiseOf({ sampleRateHz: null })).toBe(promiseOf({}));
  });
});

describe('how well the rate is known', () => {
  it('is said with its standard error, the residual, and what both mean for a time', () => {
    // 0.0016008 / 80.04 = 20 ppm, of 10 s 0.2 ms; 80.04 is 500 ppm above 80.
    expect(fitOf({})).toBe(
      'The rate is 80.0400 Sa/s with a standard error of 20 ppm, 500 ppm above the nominal 80 Sa/s. ' +
        'Arrival times scatter about it by 1.2 ms (residual, one standard deviation), which does not move single samples. ' +
        "Over 10.0 s the error of the rate makes 200 µs (one standard error). The computer's own clock is taken as right.",
    );
  });

  it('is worked out for the planned length', () => {
    expect(fitOf({ durationS: 5 })).toContain('Over 5.0 s the error of the rate makes 100 µs');
    expect(fitOf({ durationS: 600 })).toContain('Over 10 min 00 s the error of the rate makes 12 ms');
  });

  it('is in percent where it is poor', () => {
    const fit = fitOf({ sampleRateHz: 76, rateStandardErrorHz: 0.76, residualUs: 2_500_000 });
    expect(fit).toContain('76.00 Sa/s with a standard error of 1.0 %, 5.0 % below the nominal 80 Sa/s');
    expect(fit).toContain('scatter about it by 2.5 s');
    expect(fit).toContain('the error of the rate makes 100 ms');
  });

  it('moves single samples only where arrival places them', () => {
    expect(fitOf({ source: 'arrival' })).toContain(
      'by 1.2 ms (residual, one standard deviation): a single sample may be off by as much.',
    );
    expect(fitOf({ source: 'deviceTime' })).toContain('does not move single samples');
  });

  it('is never said to be perfect', () => {
    const fit = fitOf({ sampleRateHz: 80, residualUs: 0, rateStandardErrorHz: 0 });
    expect(fit).toContain('80.000000 Sa/s with a standard error of less than 0.1 ppm');
    expect(fit).toContain('scatter about it by less than 0.1 µs');
    expect(fit).toContain('makes less than 0.1 µs');
  });

  it('is said to be unknown for trials that did not store it', () => {
    const fit = fitOf({ rateStandardErrorHz: null });
    expect(fit).toContain('how well it is known was not stored');
    expect(fit).not.toContain('standard error');
  });

  it.each([{ sampleRateHz: null }, { residualUs: null }])('is not said without a fit: %o', (missing) => {
    expect(fitOf(missing)).toBeNull();
  });
});
