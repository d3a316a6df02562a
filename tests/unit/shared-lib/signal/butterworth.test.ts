import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  designButterworthLowPass,
  displayCurve,
  filterFromSteadyStart,
  filterZeroPhase,
  paddingSamples,
  type FilterSection,
} from '../../../../shared-lib/signal/butterworth.ts';
import reference from '../../../fixtures/reference-values/signal-butterworth.json' with { type: 'json' };

/** Generated with scipy 1.17.1; see the fixture. Tolerance 1e-9 on values up to some hundred. */
const input = Float64Array.from(reference.input);

function expectAllClose(actual: ArrayLike<number>, expected: readonly number[], tolerance: number): void {
  expect(actual.length).toBe(expected.length);
  const worst = expected.reduce(
    (max, value, i) => Math.max(max, Math.abs(value - (actual[i] ?? Number.NaN))),
    0,
  );
  expect(worst).toBeLessThanOrEqual(tolerance);
}

function multiply(left: readonly number[], right: readonly number[]): number[] {
  const product = new Array<number>(left.length + right.length - 1).fill(0);
  left.forEach((a, i) => right.forEach((b, k) => (product[i + k] = (product[i + k] ?? 0) + a * b)));
  return product;
}

/** |H| of a cascade at a frequency, from its coefficients alone. */
function gainAt(sections: readonly FilterSection[], frequencyHz: number, sampleRateHz: number): number {
  const w = (2 * Math.PI * frequencyHz) / sampleRateHz;
  const magnitude = (c0: number, c1: number, c2: number): number =>
    Math.hypot(c0 + c1 * Math.cos(w) + c2 * Math.cos(2 * w), c1 * Math.sin(w) + c2 * Math.sin(2 * w));
  return sections.reduce(
    (gain, { b0, b1, b2, a1, a2 }) => (gain * magnitude(b0, b1, b2)) / magnitude(1, a1, a2),
    1,
  );
}

describe.each(reference.cases)('Butterworth low-pass of order $order', (expected) => {
  const sections = designButterworthLowPass(expected.order, expected.cutoffHz, expected.sampleRateHz);

  it('has the reference coefficients', () => {
    const b = sections.map((s) => [s.b0, s.b1, s.b2]).reduce(multiply);
    const a = sections.map((s) => [1, s.a1, s.a2]).reduce(multiply);
    expectAllClose(b, expected.b, 1e-12);
    expectAllClose(a, expected.a, 1e-12);
  });

  it('starts without a transient', () => {
    const output = input.slice();
    filterFromSteadyStart(sections, output);
    expectAllClose(output, expected.steadyStart, 1e-9);
  });

  it('filters forward and backward with odd extension', () => {
    expect(paddingSamples(sections)).toBe(expected.paddingSamples);
    expectAllClose(filterZeroPhase(sections, input), expected.forwardBackward, 1e-9);
  });

  it('refuses a record no longer than its extension', () => {
    expect(() => filterZeroPhase(sections, input.slice(0, expected.paddingSamples))).toThrow(
      expect.objectContaining({ code: 'input-out-of-range' }) as Error,
    );
    expect(filterZeroPhase(sections, input.slice(0, expected.paddingSamples + 1))).toHaveLength(
      expected.paddingSamples + 1,
    );
  });
});

describe('designButterworthLowPass', () => {
  it('has a gain of exactly 2^-1/2 at the cut-off and 1 at rest, at every rate', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(2, 4, 6, 8),
        fc.double({ min: 0.02, max: 0.45, noNaN: true }),
        fc.constantFrom(80, 1000, 10_000),
        (order, share, sampleRateHz) => {
          const sections = designButterworthLowPass(order, share * sampleRateHz, sampleRateHz);
          expect(gainAt(sections, share * sampleRateHz, sampleRateHz)).toBeCloseTo(Math.SQRT1_2, 9);
          expect(gainAt(sections, 0, sampleRateHz)).toBeCloseTo(1, 9);
        },
      ),
    );
    expect(gainAt(designButterworthLowPass(2, 8, 80), 8, 80)).toBeCloseTo(Math.SQRT1_2, 12);
    expect(gainAt(designButterworthLowPass(4, 20, 320), 20, 320)).toBeCloseTo(Math.SQRT1_2, 12);
  });

  it.each([
    [1, 8, 80],
    [3, 8, 80],
    [2, 0, 80],
    [2, 40, 80],
    [2, 8, Number.NaN],
  ])('refuses order %d, cut-off %d Hz at %d Sa/s', (order, cutoffHz, sampleRateHz) => {
    expect(() => designButterworthLowPass(order, cutoffHz, sampleRateHz)).toThrow(
      expect.objectContaining({ code: 'input-out-of-range' }) as Error,
    );
  });
});

describe('displayCurve', () => {
  it('halves a sine of 20 Hz and shifts nothing', () => {
    const sampleRateHz = 1000;
    const sine = Float64Array.from(
      { length: 4000 },
      (_, i) => 100 * Math.sin((2 * Math.PI * 20 * i) / sampleRateHz),
    );
    const curve = displayCurve(sine, sampleRateHz);
    // Away from the ends, where the extension still rings, the output is half the input, sample by sample.
    for (let i = 500; i < 3500; i += 1) expect(curve?.[i]).toBeCloseTo((sine[i] ?? 0) / 2, 6);
  });

  it('leaves a constant alone', () => {
    const curve = displayCurve(new Float64Array(50).fill(42), 80);
    expectAllClose(curve ?? [], new Array<number>(50).fill(42), 1e-12);
  });

  it('filters the runs between gaps each by itself and leaves short ones out', () => {
    const record = Float64Array.from(input);
    record.fill(Number.NaN, 50, 60);
    record[69] = Number.NaN;
    const curve = displayCurve(record, 80) ?? new Float64Array();
    expect([...curve.slice(0, 50)]).toEqual([...(displayCurve(input.slice(0, 50), 80) ?? [])]);
    expect(curve.slice(50, 70).every(Number.isNaN)).toBe(true);
    expect([...curve.slice(70)]).toEqual([...(displayCurve(input.slice(70), 80) ?? [])]);
  });

  it('is refused under 80 Sa/s, but not where the fit lies a little under', () => {
    expect(displayCurve(input, 78.3)).toBeNull();
    expect(displayCurve(input, 79.9)).not.toBeNull();
    expect(displayCurve(input, Number.NaN)).toBeNull();
  });
});
