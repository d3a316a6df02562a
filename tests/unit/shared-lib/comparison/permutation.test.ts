import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import { permutationP } from '../../../../shared-lib/comparison/permutation.ts';
import { welch } from '../../../../shared-lib/comparison/welch.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';

describe('the permutation test', () => {
  it('counts the ways of dealing out: two of 70 are as far as four above four', () => {
    expect(permutationP([5, 6, 7, 8], [1, 2, 3, 4])).toBeCloseTo(2 / 70, 12);
    expect(permutationP([1, 2, 3, 4], [5, 6, 7, 8])).toBeCloseTo(2 / 70, 12);
    // Sums of four of 1 to 8 lie about 18; as far as 1 + 2 + 3 + 5 = 11 lie 10, 11 and 25, 26: one way each.
    expect(permutationP([1, 2, 3, 5], [4, 6, 7, 8])).toBeCloseTo(4 / 70, 12);
  });

  it('is 1 where the means are alike', () => {
    expect(permutationP([1, 4, 2, 3], [2, 3, 1, 4])).toBe(1);
    expect(permutationP([2, 2, 2, 2], [2, 2, 2, 2])).toBe(1);
  });

  it('needs four on each side', () => {
    expect(permutationP([5, 6, 7], [1, 2, 3, 4])).toBeNull();
  });

  it('goes through all ways up to 20 000, and draws beyond', () => {
    const above = [11, 12, 13, 14, 15, 16, 17, 18];
    // 8 of 16 can be dealt out in 12 870 ways, 8 of 17 in 24 310; both sides turned round are as far apart.
    expect(permutationP(above, [1, 2, 3, 4, 5, 6, 7, 8])).toBeCloseTo(2 / 12_870, 12);
    const drawn = permutationP(above, [1, 2, 3, 4, 5, 6, 7, 8, 9]) ?? NaN;
    expect(drawn * 20_001).toBeCloseTo(Math.round(drawn * 20_001), 9);
  });

  it('draws where the ways are too many, near the p of a t test, and the same each time', () => {
    const random = createSeededRandom(5, 0);
    const a = Array.from({ length: 20 }, () => 0.6 + random.gaussian());
    const b = Array.from({ length: 20 }, () => random.gaussian());
    const p = permutationP(a, b) ?? NaN;
    const byT = welch(a, b, distributions).p;
    expect(p).toBe(permutationP(a, b));
    expect(byT).toBeGreaterThan(0.001);
    expect(Math.abs(p - byT)).toBeLessThan(0.01);
    expect(
      permutationP(
        Array.from({ length: 20 }, (_, i) => 100 + i),
        b,
      ),
    ).toBeCloseTo(1 / 20_001, 12);
  });
});
