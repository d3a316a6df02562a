import { describe, expect, it } from 'vitest';
import { spreadOut } from '../../../../renderer/live-curve/axis-chart.ts';
import { curveColorIndex } from '../../../../renderer/live-curve/curve-style.ts';
import { pointsForTheEye, rawPoints, shortenName } from '../../../../renderer/live-curve/earlier-curve.ts';
import { demoTrialCurve } from '../../../helpers/scripted-bench.ts';

function curveOf(values: readonly number[]) {
  const displayNm = Float64Array.from(values);
  return {
    ...demoTrialCurve('t', 500),
    displayNm,
    displayTimeS: displayNm.map((_, index) => index / 1000),
  };
}

describe('pointsForTheEye', () => {
  it('keeps every point of a short curve', () => {
    expect(pointsForTheEye(curveOf([1, 2, 1])).map(({ y }) => y)).toEqual([1, 2, 1]);
  });

  it('thins out a long curve without losing its least and greatest value or the order of time', () => {
    const values = Array.from({ length: 50_000 }, (_, index) => Math.sin(index / 40) * 100);
    values[31_234] = 900;
    values[7] = -900;
    const points = pointsForTheEye(curveOf(values));
    expect(points.length).toBeLessThanOrEqual(2000);
    expect(Math.max(...points.map(({ y }) => y))).toBe(900);
    expect(Math.min(...points.map(({ y }) => y))).toBe(-900);
    expect(points.every(({ x }, index) => index === 0 || x >= (points[index - 1]?.x ?? 0))).toBe(true);
  });

  it('keeps a gap as NaN', () => {
    const values = new Array<number>(50_000).fill(5);
    values.fill(Number.NaN, 20_000, 21_000);
    expect(pointsForTheEye(curveOf(values)).some(({ y }) => Number.isNaN(y))).toBe(true);
  });

  it('takes the measuring curve where the rate allows no display curve', () => {
    const curve = {
      ...demoTrialCurve('t', 500),
      displayNm: new Float64Array(0),
      displayTimeS: new Float64Array(0),
      measuringNm: Float64Array.of(3, 4),
      measuringTimeS: Float64Array.of(0, 0.1),
    };
    expect(pointsForTheEye(curve)).toEqual([
      { x: 0, y: 3 },
      { x: 0.1, y: 4 },
    ]);
  });
});

describe('rawPoints', () => {
  it('goes up and down through each bin at its middle, and keeps an empty bin as a gap', () => {
    const curve = {
      ...demoTrialCurve('t', 500),
      // Bins of two samples: those of the first stand at 1 s and 1.25 s.
      sampleRateHz: 4,
      binStartS: 1,
      binWidthS: 0.5,
      minNm: Float64Array.of(1, Number.NaN, 3),
      maxNm: Float64Array.of(2, Number.NaN, 3),
    };
    expect(rawPoints(curve)).toEqual([
      { x: 1.125, y: 1 },
      { x: 1.125, y: 2 },
      { x: 1.625, y: Number.NaN },
      { x: 2.125, y: 3 },
    ]);
  });
});

describe('curve labels and colours', () => {
  it('gives a tool the same colour however its name is written', () => {
    expect(curveColorIndex(' hollin h5')).toBe(curveColorIndex('Hollin H5'));
  });

  it('moves labels apart that would lie on each other, and leaves the others where they are', () => {
    expect(spreadOut([100, 40, 103], 20, 0)).toEqual([83, 40, 103]);
  });

  it('keeps the highest label inside the picture, and the others below it', () => {
    expect(spreadOut([12, 14, 16], 20, 10)).toEqual([10, 30, 50]);
  });
});

describe('the name in a label', () => {
  it('is left whole up to 24 characters and cut with a mark beyond, so that the curves keep their room', () => {
    expect(shortenName('Tarnwick T6 (demo)')).toBe('Tarnwick T6 (demo)');
    expect(shortenName('x'.repeat(24))).toBe('x'.repeat(24));
    expect(shortenName('Brindlow B4 (demo) with a long anvil')).toBe('Brindlow B4 (demo) with…');
  });
});
