import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createLiveMeasuringCurve } from '../../../../shared-lib/signal/live-measuring-curve.ts';
import { measuringCurve } from '../../../../shared-lib/signal/measuring-curve.ts';

describe('createLiveMeasuringCurve', () => {
  it('gives, half a window later, what the measuring curve of the whole record is, to the last bit', () => {
    const sampleOrNone = fc.oneof(
      { weight: 4, arbitrary: fc.double({ min: -1000, max: 1000, noNaN: true }) },
      fc.constant(Number.NaN),
    );
    fc.assert(
      fc.property(fc.array(sampleOrNone, { maxLength: 90 }), fc.nat(12), (values, half) => {
        const windowSamples = 2 * half + 1;
        const live = createLiveMeasuringCurve(windowSamples);
        const known = values.map((value) => live.push(value)).slice(half);
        const whole = measuringCurve(Float64Array.from(values), windowSamples);
        expect(known).toEqual([...whole.slice(0, Math.max(0, values.length - half))]);
      }),
    );
  });

  it('has forgotten a huge reading as soon as the window has passed it', () => {
    const live = createLiveMeasuringCurve(5);
    live.push(1e15);
    const means = Array.from({ length: 20 }, () => live.push(0.1));
    expect(means[3]).toBeGreaterThan(1e14);
    for (const mean of means.slice(4)) expect(mean).toBeCloseTo(0.1, 15);
  });

  it('refuses a window without a middle', () => {
    expect(() => createLiveMeasuringCurve(10)).toThrow(RangeError);
    expect(() => createLiveMeasuringCurve(0)).toThrow(RangeError);
  });
});
