import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { measuringCurve, measuringWindowSamples } from '../../../../shared-lib/signal/measuring-curve.ts';

const none = Number.NaN;

/** The definition, word for word. */
function directMean(values: ArrayLike<number>, centre: number, windowSamples: number): number {
  const half = (windowSamples - 1) / 2;
  let sum = 0;
  let present = 0;
  for (let i = centre - half; i <= centre + half; i += 1) {
    const value = values[i] ?? none;
    if (Number.isNaN(value)) continue;
    sum += value;
    present += 1;
  }
  return present < windowSamples / 2 ? none : sum / present;
}

describe('measuringWindowSamples', () => {
  it.each([
    [35.9, null],
    [36, 9],
    [80, 9],
    [99, 9],
    [100, 11],
    [320, 33],
    [1000, 101],
    [40_000, 4001],
    [Number.NaN, null],
  ])('at %d Sa/s is %s samples', (nominalRateHz, windowSamples) => {
    expect(measuringWindowSamples(nominalRateHz)).toBe(windowSamples);
  });
});

describe('measuringCurve', () => {
  it('is the mean over the window, and NaN where less than half of it is there', () => {
    const curve = measuringCurve(Float64Array.of(3, 6, none, none, 9, none, 12), 3);
    expect([...curve]).toEqual([4.5, 4.5, none, none, none, 10.5, none]);
  });

  it('keeps a ramp as it is, since the mean of a symmetric window is its middle', () => {
    const ramp = Float64Array.from({ length: 200 }, (_, i) => 2 * i);
    const curve = measuringCurve(ramp, 9);
    for (let i = 4; i < 196; i += 1) expect(curve[i]).toBe(2 * i);
  });

  it('agrees with the direct sum for any samples, gaps and window', () => {
    const sampleOrNone = fc.oneof(
      { weight: 4, arbitrary: fc.double({ min: -1000, max: 1000, noNaN: true }) },
      fc.constant(none),
    );
    fc.assert(
      fc.property(fc.array(sampleOrNone, { maxLength: 80 }), fc.nat(12), (values, half) => {
        const windowSamples = 2 * half + 1;
        const curve = measuringCurve(Float64Array.from(values), windowSamples);
        expect(curve).toHaveLength(values.length);
        curve.forEach((mean, centre) => {
          const expected = directMean(values, centre, windowSamples);
          if (Number.isNaN(expected)) expect(mean).toBeNaN();
          else expect(Math.abs(mean - expected)).toBeLessThan(1e-9);
        });
      }),
    );
  });

  it('has forgotten a huge reading as soon as the window has passed it', () => {
    // A running sum would keep the rounding of 1e15 (about 0.1) in every later mean.
    const values = new Float64Array(1000).fill(0.1);
    values[100] = 1e15;
    const curve = measuringCurve(values, 9);
    for (let i = 105; i < 1000; i += 1) expect(Math.abs((curve[i] ?? none) - 0.1)).toBeLessThan(1e-15);
  });

  it('gathers no rounding error over 1.5 million samples', () => {
    let state = 1;
    const values = Float64Array.from({ length: 1_500_000 }, (_, i) => {
      state = (state * 48_271) % 2_147_483_647;
      return 700 * (1 - Math.exp(-i / 400_000)) + state / 2_147_483_647;
    });
    const windowSamples = 4001;
    const curve = measuringCurve(values, windowSamples);
    for (const centre of [0, 1999, 2000, 2001, 750_000, 1_400_001, 1_497_999, 1_499_999]) {
      // A sum of 4001 values near 700 rounds by at most 4001 / 2 units of 2^-31 each way: under 1e-9 in the mean.
      expect(Math.abs((curve[centre] ?? none) - directMean(values, centre, windowSamples))).toBeLessThan(
        1e-9,
      );
    }
  });

  it.each([0, 2, 10, 1.5])('refuses a window of %d samples', (windowSamples) => {
    expect(() => measuringCurve(new Float64Array(20), windowSamples)).toThrow(RangeError);
  });
});
