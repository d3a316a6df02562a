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

  it('is refused where it lies outside what was calibrated', () => {
    expect(() => invertReading(fitted(), 5, range, distributions)).toThrow(
      expect.objectContaining({ code: 'input-out-of-range' }),
    );
  });
});
