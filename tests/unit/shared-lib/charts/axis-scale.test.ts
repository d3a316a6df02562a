import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { axisAround, axisBetween, extentOf, placeOn } from '../../../../shared-lib/charts/axis-scale.ts';

const labelsOf = (axis: ReturnType<typeof axisBetween>) => axis.ticks.map(({ label }) => label);

describe('an axis', () => {
  it('has ticks on round numbers with as many decimals as they need', () => {
    expect(labelsOf(axisBetween(0, 5, 10))).toEqual([
      '0.0',
      '0.5',
      '1.0',
      '1.5',
      '2.0',
      '2.5',
      '3.0',
      '3.5',
      '4.0',
      '4.5',
      '5.0',
    ]);
    expect(labelsOf(axisAround({ min: 3, max: 940 }, { mostTicks: 4, fromZero: true }))).toEqual([
      '0',
      '250',
      '500',
      '750',
    ]);
    expect(labelsOf(axisBetween(-1.2, 1.2, 1))).toEqual(['\u22121', '0', '1']);
  });

  it('holds every value that can be drawn, and at least two ticks between its ends', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double(), { minLength: 1, maxLength: 20 }),
        fc.integer({ min: 1, max: 12 }),
        fc.boolean(),
        (values, mostTicks, fromZero) => {
          const extent = extentOf(values);
          const axis = axisAround(extent, { mostTicks, fromZero });
          expect(axis.max).toBeGreaterThan(axis.min);
          if (extent !== null) {
            expect(axis.min).toBeLessThanOrEqual(extent.min + 1e-300);
            expect(axis.max).toBeGreaterThanOrEqual(extent.max - 1e-300);
          }
          expect(axis.ticks.length).toBeGreaterThanOrEqual(2);
          expect(axis.ticks.length).toBeLessThanOrEqual(50);
          const slack = (axis.max - axis.min) * 1e-6;
          for (const { value } of axis.ticks) {
            expect(value).toBeGreaterThanOrEqual(axis.min - slack);
            expect(value).toBeLessThanOrEqual(axis.max + slack);
          }
          const toPx = placeOn(axis, 0, 1000);
          for (const value of values) {
            const px = toPx(value);
            if (!Number.isNaN(px)) expect(px >= -1e-6 && px <= 1000 + 1e-6).toBe(true);
          }
        },
      ),
      { numRuns: 500 },
    );
  });

  it('stands where there is no value, and leaves out what is none', () => {
    expect(extentOf([Number.NaN, Number.POSITIVE_INFINITY, 1e301])).toBeNull();
    expect(labelsOf(axisAround(null, { mostTicks: 5, fromZero: true }))).toEqual([
      '0.0',
      '0.2',
      '0.4',
      '0.6',
      '0.8',
      '1.0',
    ]);
    expect(placeOn({ min: 0, max: 1 }, 0, 100)(Number.NaN)).toBeNaN();
  });

  it('writes very large and very small numbers with a power of ten', () => {
    expect(labelsOf(axisBetween(0, 4e12, 4))).toEqual(['0', '1e12', '2e12', '3e12', '4e12']);
    expect(labelsOf(axisBetween(0, 2e-9, 2))).toEqual(['0', '1e\u22129', '2e\u22129']);
  });
});
