import { compiled, incbet } from 'cephes';
import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import gum from '../../../fixtures/reference-values/gum.json' with { type: 'json' };
import student from '../../../fixtures/reference-values/student-t.json' with { type: 'json' };

function expectRelative(actual: number, expected: number, tolerance: number): void {
  expect(Math.abs(actual - expected)).toBeLessThanOrEqual(tolerance * Math.abs(expected));
}

describe('the t quantile', () => {
  it.each(student.exact)('has the exact upper values at %d degrees of freedom', (df, ...expected) => {
    student.upperTail.forEach((tail, index) => {
      expectRelative(distributions.studentTQuantile(1 - tail, df), expected[index] ?? 0, 1e-10);
    });
  });

  it.each(student.published)('agrees with the printed table of the NIST handbook at %d', (df, ...printed) => {
    // The 0.001 column is off by some units of the last place at small degrees of freedom, as the source notes.
    student.upperTail.slice(0, 5).forEach((tail, index) => {
      expect(
        Math.abs(distributions.studentTQuantile(1 - tail, df) - (printed[index] ?? 0)),
      ).toBeLessThanOrEqual(0.0006);
    });
  });

  it.each(student.nonInteger)('has the values of an independent library at $df degrees of freedom', (row) => {
    expectRelative(distributions.studentTQuantile(0.975, row.df), row['upper0.025'], 1e-10);
    expectRelative(distributions.studentTQuantile(0.995, row.df), row['upper0.005'], 1e-10);
  });

  it('agrees with Table G.2 of the GUM, but for the one cell that is printed wrong', () => {
    const { levelsExact, rows } = gum.tableG2;
    const slips: string[] = [];
    for (const [df, ...printed] of rows) {
      levelsExact.forEach((level, index) => {
        const exact = distributions.studentTQuantile((1 + level) / 2, Number(df));
        const tolerance = index === 5 && df === 1 ? 0.05 : df === 100 ? 0.0005 : 0.005;
        if (Math.abs(exact - Number(printed[index])) > tolerance * 1.0001)
          slips.push(`${String(df)} at ${level}`);
      });
    }
    expect(slips).toEqual(['35 at 0.9']);
  });

  it('is the inverse of the distribution, on both sides and near the middle', () => {
    for (const { t, df, cdf } of student.cdf) {
      expect(Math.abs(distributions.studentTQuantile(cdf, df) - t)).toBeLessThan(
        1e-8 * Math.max(1, Math.abs(t)),
      );
    }
  });
});

describe('the upper tail of F', () => {
  it('is that of t squared with one degree of freedom', () => {
    const t = distributions.studentTQuantile(0.975, 12.5);
    expectRelative(distributions.fUpperTail(t * t, 1, 12.5), 0.05, 1e-12);
  });

  it('has the 5 % points of the load-cell case study', () => {
    expectRelative(distributions.fUpperTail(2.151124427121829, 18, 20), 0.05, 1e-10);
    expectRelative(distributions.fUpperTail(2.1667009968119793, 17, 20), 0.05, 1e-10);
  });

  it('refuses what is no F', () => {
    expect(() => distributions.fUpperTail(-1, 2, 3)).toThrow(RangeError);
    expect(() => distributions.studentTQuantile(1, 3)).toThrow(RangeError);
  });
});

describe('both, beside the Cephes library', () => {
  const degrees = [0.3, 1, 2, 3, 5.5, 10, 19, 30.7, 100, 1000, 10_000];

  it('give the same t within 1e-9', async () => {
    await compiled;
    for (const df of degrees) {
      for (const tail of [1e-6, 0.0005, 0.025, 0.2, 0.25, 0.3, 0.45, 0.4999]) {
        const t = distributions.studentTQuantile(1 - tail, df);
        // P(|T| > t) of the other library gives back the probability that was asked for.
        expectRelative(incbet(df / 2, 0.5, df / (df + t * t)), 2 * tail, 1e-9);
      }
    }
  });

  it('give the same tail of F within 1e-9', async () => {
    await compiled;
    for (const numerator of degrees) {
      for (const denominator of degrees) {
        for (const f of [0.01, 0.5, 1, 1.5, 3, 20]) {
          const x = denominator / (denominator + numerator * f);
          const other = incbet(denominator / 2, numerator / 2, x);
          if (other > 1e-200)
            expectRelative(distributions.fUpperTail(f, numerator, denominator), other, 1e-9);
        }
      }
    }
  });
});
