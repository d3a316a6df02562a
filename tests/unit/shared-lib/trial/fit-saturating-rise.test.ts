import { describe, expect, it } from 'vitest';
import { fitSaturatingRise } from '../../../../shared-lib/trial/fit-saturating-rise.ts';
import misra1a from '../../../fixtures/reference-values/nist-strd/misra1a.json' with { type: 'json' };

/** How many leading digits agree: -log10 of the relative difference. */
const agreeingDigits = (value: number, certified: string): number =>
  -Math.log10(Math.abs(value / Number(certified) - 1));

describe('fitSaturatingRise', () => {
  it.each(misra1a.starts)('meets the certified values of NIST Misra1a from the start %o', ({ b1, b2 }) => {
    const fit = fitSaturatingRise(Float64Array.from(misra1a.x), Float64Array.from(misra1a.y), {
      amplitude: b1,
      rate: b2,
    });
    if (fit === null) throw new Error('There is no fit.');
    const { params, residualSd } = misra1a.certified;
    expect(agreeingDigits(fit.amplitude, params.b1.estimate)).toBeGreaterThan(8);
    expect(agreeingDigits(fit.rate, params.b2.estimate)).toBeGreaterThan(8);
    expect(agreeingDigits(fit.amplitudeStandardError, params.b1.sd)).toBeGreaterThan(8);
    expect(agreeingDigits(fit.rateStandardError, params.b2.sd)).toBeGreaterThan(8);
    expect(agreeingDigits(fit.residualStandardDeviation, residualSd)).toBeGreaterThan(8);
  });

  it('finds a rise without noise exactly, from a start far off', () => {
    const x = Float64Array.from({ length: 50 }, (_, index) => index / 10);
    const y = x.map((at) => 300 * (1 - Math.exp(-at / 0.8)));
    const fit = fitSaturatingRise(x, y, { amplitude: 20, rate: 0.05 });
    expect(fit?.amplitude).toBeCloseTo(300, 8);
    expect(fit?.rate).toBeCloseTo(1.25, 9);
  });

  it('fits a torque of micronewton metres as it does one of newton metres', () => {
    const x = Float64Array.from({ length: 50 }, (_, index) => index / 10);
    const [small, large] = [3e-4, 300].map((amplitude) =>
      fitSaturatingRise(
        x,
        x.map((at) => amplitude * (1 - Math.exp(-at / 0.8)) + amplitude * 1e-3 * Math.sin(40 * at)),
        { amplitude: 0.5 * amplitude, rate: 1 },
      ),
    );
    expect((small?.rate ?? 0) / (large?.rate ?? 1)).toBeCloseTo(1, 9);
    expect((1e6 * (small?.amplitude ?? 0)) / (large?.amplitude ?? 1)).toBeCloseTo(1, 9);
    expect((1e6 * (small?.amplitudeStandardError ?? 0)) / (large?.amplitudeStandardError ?? 1)).toBeCloseTo(
      1,
      6,
    );
  });

  it('has no fit from points that do not carry the model', () => {
    const start = { amplitude: 1, rate: 1 };
    expect(fitSaturatingRise(Float64Array.of(1, 2), Float64Array.of(1, 2), start)).toBeNull();
    expect(fitSaturatingRise(Float64Array.of(0, 0, 0), Float64Array.of(1, 2, 3), start)).toBeNull();
  });
});
