import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import { fitPolynomial } from '../../../../shared-lib/calibration/fit-polynomial.ts';
import { invertReading } from '../../../../shared-lib/calibration/inverse-reading.ts';
import pontius from '../../../fixtures/reference-values/nist-strd/pontius.json' with { type: 'json' };

/**
 * Source: load-cell case study of the NIST/SEMATECH e-Handbook 4.6.1: 1705106 (1704513, 1705698), from memory, and
 * recomputed to more digits (tests/fixtures/reference-values/load-cell-case-study.json).
 */
describe('a reading turned back into a load', () => {
  const range = { from: 150_000, to: 3_000_000 };
  const fitted = () =>
    fitPolynomial(
      pontius.x.map((x, index) => ({ x, y: pontius.y[index] ?? Number.NaN })),
      { degree: 2, throughZero: false },
      distributions,
    );

  it('is that of the case study, with its interval, within one unit of load', () => {
    const { x, lower, upper } = invertReading(fitted(), 1.239722, range, distributions);
    expect(Math.abs(x - 1_705_105.57)).toBeLessThan(1);
    expect(Math.abs(lower - 1_704_513.37)).toBeLessThan(1);
    expect(Math.abs(upper - 1_705_697.76)).toBeLessThan(1);
  });

  it('has, of a line through zero, the interval of the closed form', () => {
    // y = b x +- t s sqrt(1 + x^2 / S), S the sum of squares of x: what is left is a quadratic equation in x.
    const x = [10, 20, 30, 40];
    const y = [20.3, 39.8, 60.1, 80.2];
    const squares = 3000;
    const slope = x.reduce((sum, at, index) => sum + at * (y[index] ?? 0), 0) / squares;
    const left = x.reduce((sum, at, index) => sum + ((y[index] ?? 0) - slope * at) ** 2, 0);
    // Of three degrees of freedom: 3.182446305 (table of Student's t).
    const reach = (3.182446305284263 ** 2 * left) / 3;
    const [a, half, c] = [slope ** 2 - reach / squares, slope * 50, 2500 - reach];
    const root = Math.sqrt(half ** 2 - a * c);
    const line = fitPolynomial(
      x.map((at, index) => ({ x: at, y: y[index] ?? Number.NaN })),
      { degree: 1, throughZero: true },
      distributions,
    );
    const found = invertReading(line, 50, { from: 5, to: 60 }, distributions);
    expect(found.x).toBeCloseTo(50 / slope, 10);
    expect(found.lower).toBeCloseTo((half - root) / a, 8);
    expect(found.upper).toBeCloseTo((half + root) / a, 8);
  });

  it('is turned back at the very end of the range, and no further', () => {
    const exact = {
      ...fitted(),
      model: { degree: 1, throughZero: false },
      coefficients: [0, 2],
      covariance: [
        [0, 0],
        [0, 0],
      ],
      residualStandardDeviation: 0,
    };
    const from10 = { from: 10, to: 50 };
    expect(invertReading(exact, 20, from10, distributions)).toEqual({ x: 10, lower: 10, upper: 10 });
    expect(() => invertReading(exact, 19.5, from10, distributions)).toThrow(
      expect.objectContaining({ code: 'input-out-of-range' }),
    );
  });

  it('is refused where it lies outside what was calibrated', () => {
    expect(() => invertReading(fitted(), 5, range, distributions)).toThrow(
      expect.objectContaining({ code: 'input-out-of-range' }),
    );
  });
});
