import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  curveBetween,
  cutPoints,
  endOfCurve,
  meanOfCurves,
  pointsOfCurve,
} from '../../../../shared-lib/charts/curve-points.ts';

const curve = (points: readonly (readonly [number, number])[]) => ({
  timeS: Float64Array.from(points, ([time]) => time),
  torqueNm: Float64Array.from(points, ([, torque]) => torque),
});
const same = (value: number) => value;

/** Height of a line of px at an x; NaN where it has none. */
function heightAt(points: Float64Array, x: number): number {
  for (let place = 0; place + 3 < points.length; place += 2) {
    const [x0 = 0, y0 = 0, x1 = 0, y1 = 0] = points.subarray(place, place + 4);
    if (x >= x0 && x <= x1) return x1 === x0 ? y0 : y0 + ((x - x0) / (x1 - x0)) * (y1 - y0);
  }
  return Number.NaN;
}

describe('the points of a drawn curve', () => {
  it('pass every sample by a third of a pixel at most, and are fewer', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -400, max: 400, noNaN: true }), { minLength: 2, maxLength: 300 }),
        fc.double({ min: 0.05, max: 5, noNaN: true }),
        (heights, stepPx) => {
          const points = pointsOfCurve(
            curve(heights.map((height, index) => [index * stepPx, height])),
            same,
            same,
          );
          expect(points.length).toBeLessThanOrEqual(2 * heights.length);
          heights.forEach((height, index) => {
            expect(Math.abs(heightAt(points, index * stepPx) - height)).toBeLessThanOrEqual(0.3 + 1e-6);
          });
        },
      ),
    );
    const smooth = Array.from({ length: 2000 }, (_, index): [number, number] => [
      index * 0.7,
      500 * (1 - Math.exp(-index / 300)),
    ]);
    expect(pointsOfCurve(curve(smooth), same, same).length).toBeLessThan(200);
  });

  it('lift the pen where values are missing', () => {
    const points = pointsOfCurve(
      curve([
        [0, 1],
        [1, Number.NaN],
        [2, 3],
        [3, 3],
      ]),
      same,
      same,
    );
    expect([...points]).toEqual([0, 1, Number.NaN, Number.NaN, 2, 3, 3, 3]);
  });
});

describe('a part of a curve', () => {
  it('ends exactly on the times asked for', () => {
    const part = curveBetween(
      curve([
        [-1, 0],
        [1, 20],
        [3, 40],
      ]),
      0,
      2,
    );
    expect([...part.timeS]).toEqual([0, 1, 2]);
    expect([...part.torqueNm]).toEqual([10, 20, 30]);
  });

  it('is empty where the curve is not, and keeps gaps', () => {
    expect(
      curveBetween(
        curve([
          [5, 1],
          [6, 1],
        ]),
        0,
        2,
      ).timeS,
    ).toHaveLength(0);
    expect([
      ...curveBetween(
        curve([
          [0, 1],
          [1, Number.POSITIVE_INFINITY],
          [2, 3],
        ]),
        0,
        2,
      ).torqueNm,
    ]).toEqual([1, Number.NaN, 3]);
  });
});

describe('the mean of curves', () => {
  it('is there where each of them has a value', () => {
    const mean = meanOfCurves(
      [
        curve([
          [0, 10],
          [10, 20],
        ]),
        curve([
          [0, 20],
          [5, 40],
        ]),
      ],
      0,
      10,
    );
    expect(mean.torqueNm[0]).toBe(15);
    expect(endOfCurve(mean)).toEqual({ timeS: 5, torqueNm: 27.5 });
    expect(endOfCurve(curve([[0, Number.NaN]]))).toBeNull();
  });
});

describe('a curve as far as it has come', () => {
  const rising = curve([
    [0, 0],
    [1, 10],
    [2, Number.NaN],
    [3, 30],
  ]);

  it('ends on the line between its values, in a gap at the last one before it', () => {
    expect([-1, 0.5, 1, 1.5, 2.5, 9].map((untilS) => endOfCurve(rising, untilS))).toEqual([
      null,
      { timeS: 0.5, torqueNm: 5 },
      { timeS: 1, torqueNm: 10 },
      { timeS: 1, torqueNm: 10 },
      { timeS: 1, torqueNm: 10 },
      { timeS: 3, torqueNm: 30 },
    ]);
  });

  it('has the points up to there and one on its end', () => {
    const points = Float64Array.of(0, 100, 10, 50, Number.NaN, Number.NaN, 30, 20, 40, 0);
    expect([...cutPoints(points, 5)]).toEqual([0, 100, 5, 75]);
    expect([...cutPoints(points, 20)]).toEqual([0, 100, 10, 50, Number.NaN, Number.NaN]);
    expect([...cutPoints(points, 35)].slice(-2)).toEqual([35, 10]);
    expect(cutPoints(points, 99)).toEqual(points);
    expect(cutPoints(points, -1)).toHaveLength(0);
  });
});
