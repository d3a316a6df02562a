import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { GrowingCurve } from '../../../../shared-lib/overlay/curve-points.ts';

const bin = fc.tuple(
  fc.double({ min: -500, max: 500, noNaN: true }),
  fc.double({ min: 0, max: 90, noNaN: true }),
);

describe('a curve that grows', () => {
  it('stays small, keeps its order in time and loses nothing of least and greatest', () => {
    fc.assert(
      fc.property(
        fc.array(bin, { minLength: 1, maxLength: 400 }),
        fc.integer({ min: 4, max: 50 }),
        (bins, most) => {
          const curve = new GrowingCurve(most);
          bins.forEach(([least, height], index) => {
            curve.append({
              timeS: Float64Array.of(index / 100),
              minNm: Float64Array.of(least),
              maxNm: Float64Array.of(least + height),
            });
          });
          const { timeS, minNm, maxNm } = curve.points();
          expect(timeS.length).toBeLessThanOrEqual(most);
          expect([...timeS]).toEqual([...timeS].sort((first, second) => first - second));
          const present = (values: Float64Array) => [...values].filter((value) => !Number.isNaN(value));
          expect(Math.min(...present(minNm))).toBe(Math.min(...bins.map(([least]) => least)));
          expect(Math.max(...present(maxNm))).toBe(
            Math.max(...bins.map(([least, height]) => least + height)),
          );
        },
      ),
      { numRuns: 100 },
    );
  });

  it('keeps a stretch without samples as one', () => {
    const curve = new GrowingCurve(100);
    const values = Float64Array.of(1, Number.NaN, 3);
    curve.append({ timeS: Float64Array.of(0, 1, 2), minNm: values, maxNm: values });
    expect([...curve.points().minNm]).toEqual([1, Number.NaN, 3]);
    curve.clear();
    expect(curve.points().timeS).toHaveLength(0);
  });
});
