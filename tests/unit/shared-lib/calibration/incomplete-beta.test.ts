import { describe, expect, it } from 'vitest';
import { incompleteBeta, lnBeta } from '../../../../shared-lib/calibration/incomplete-beta.ts';

describe('the regularised incomplete beta function', () => {
  it('is 0 at the one end and 1 at the other, also where rounding went beyond', () => {
    for (const [a, b] of [
      [0.5, 3],
      [40, 2],
    ] as const) {
      expect(incompleteBeta(0, 1, a, b)).toBe(0);
      expect(incompleteBeta(-1e-17, 1, a, b)).toBe(0);
      expect(incompleteBeta(1, 0, a, b)).toBe(1);
    }
  });

  it.each([0, 1e-6, 0.25, 0.5, 0.9, 1])('has its closed forms at %d', (x) => {
    // I_x(a, 1) = x^a and I_x(1, b) = 1 - (1 - x)^b (DLMF 8.17.7 with 8.17.4).
    expect(incompleteBeta(x, 1 - x, 3, 1)).toBeCloseTo(x ** 3, 14);
    expect(incompleteBeta(x, 1 - x, 1, 4)).toBeCloseTo(1 - (1 - x) ** 4, 14);
  });
});

describe('the logarithm of the beta function', () => {
  it.each([
    [10, 923_780],
    [11, 3_879_876],
    [12, 16_224_936],
  ])('has its exact value at %d, the inverse of %d, where Stirling’s series begins', (n, inverse) => {
    // B(n, n) = ((n - 1)!)^2 / (2n - 1)!, the inverse of a whole number: (2n - 1) times 2n - 2 over n - 1.
    expect(Math.abs(lnBeta(n, n) + Math.log(inverse))).toBeLessThan(1e-14);
  });
});
