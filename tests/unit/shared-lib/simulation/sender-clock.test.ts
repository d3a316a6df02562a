import { describe, expect, it } from 'vitest';
import { AppError } from '../../../../shared-lib/app-error.ts';
import { createSenderClock } from '../../../../shared-lib/simulation/sender-clock.ts';

describe('the clock of a simulated amplifier', () => {
  it('keeps to the nominal rate where nothing is said', () => {
    const clock = createSenderClock(80);
    expect([0, 1, 80, 4800].map((index) => clock.sampledAtS(index))).toEqual([0, 0.0125, 1, 60]);
    expect(clock.deviceTimeS(4800)).toBe(60);
    expect(clock.drawJitterUs()).toBe(0);
  });

  it('that runs fast samples sooner, and does not see it itself', () => {
    const clock = createSenderClock(1000, { rateErrorPpm: 200 });
    expect(clock.sampledAtS(60_000)).toBeCloseTo(60 / 1.0002, 10);
    expect(clock.deviceTimeS(60_000)).toBe(60);
  });

  it('that drifts has the rate of its start and the drift of each minute since', () => {
    const clock = createSenderClock(1000, { rateErrorPpm: -50, driftPpmPerMinute: 30 });
    const rateNearHz = (atS: number) => {
      const index = Math.round(atS * 1000);
      return 200 / (clock.sampledAtS(index + 100) - clock.sampledAtS(index - 100));
    };
    // By hand: -50 ppm at the start, +30 ppm for each minute.
    expect(rateNearHz(60)).toBeCloseTo(1000 * (1 - 20e-6), 4);
    expect(rateNearHz(300)).toBeCloseTo(1000 * (1 + 100e-6), 4);
  });

  it('finishes the period that a step of the rate falls into, and then keeps to the new rate', () => {
    const clock = createSenderClock(10, {
      rateSteps: [
        { atS: 2.05, factor: 0.5 },
        { atS: 1, factor: 2 },
      ],
    });
    // By hand: 10 periods of 0.1 s, 21 of 0.05 s up to 2.05 s, then 0.2 s each.
    const times = [9, 10, 11, 30, 31, 32, 33].map((index) => clock.sampledAtS(index));
    [0.9, 1, 1.05, 2, 2.05, 2.25, 2.45].forEach((expected, at) => {
      expect(times[at]).toBeCloseTo(expected, 12);
      expect(clock.deviceTimeS([9, 10, 11, 30, 31, 32, 33][at] ?? 0)).toBeCloseTo(expected, 12);
    });
  });

  it('has jitter of the standard deviation asked for, the same for one seed', () => {
    const drawn = 10_000;
    const clock = createSenderClock(80, { jitterUs: 300 }, 5);
    const jitter = Array.from({ length: drawn }, () => clock.drawJitterUs());
    const mean = jitter.reduce((sum, value) => sum + value, 0) / drawn;
    const deviation = Math.sqrt(jitter.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (drawn - 1));
    // Standard errors of normal draws: s/sqrt(n) of the mean, s/sqrt(2(n - 1)) of the standard deviation.
    expect(Math.abs(mean)).toBeLessThan(3 * (300 / Math.sqrt(drawn)));
    expect(Math.abs(deviation - 300)).toBeLessThan(3 * (300 / Math.sqrt(2 * (drawn - 1))));

    const again = createSenderClock(80, { jitterUs: 300 }, 5);
    expect(Array.from({ length: drawn }, () => again.drawJitterUs())).toEqual(jitter);
  });

  it.each([
    { rateErrorPpm: 200_000 },
    { rateErrorPpm: Number.NaN },
    { driftPpmPerMinute: -2000 },
    { jitterUs: -1 },
    { rateSteps: [{ atS: -1, factor: 2 }] },
    { rateSteps: [{ atS: 1, factor: 0 }] },
  ])('is refused where no amplifier has it: %j', (options) => {
    expect(() => createSenderClock(80, options)).toThrow(AppError);
  });
});
