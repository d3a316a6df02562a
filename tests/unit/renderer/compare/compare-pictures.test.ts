import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  meanCurve,
  newestOfEach,
  runPairs,
  runsOfPair,
  valueAt,
} from '../../../../renderer/compare/curves/aligned-curves.ts';
import { curvesSummary, progressWords } from '../../../../renderer/compare/curves/curve-sentences.ts';
import { intervalScale } from '../../../../renderer/compare/picture/interval-scale.ts';
import {
  exactRange,
  linePath,
  pictureFrame,
  rangeFromZero,
} from '../../../../renderer/compare/picture/picture-frame.ts';
import { brindlow, hollin, tarnwick, trial } from './compare-samples.ts';

describe('the axis of the ratio', () => {
  const scaleOf = (low: number, high: number, marginPercent = 5) =>
    intervalScale({
      ratio: { ratio: Math.sqrt(low * high), low, high },
      levelInterval: null,
      marginPercent,
    });

  it('has equal in the middle, and holds interval and margin with room beside them', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1, max: 1, noNaN: true }),
        fc.double({ min: 0.001, max: 0.2, noNaN: true }),
        fc.double({ min: 0.1, max: 100, noNaN: true }),
        (middle, half, marginPercent) => {
          const [low, high] = [Math.exp(middle - half), Math.exp(middle + half)];
          const { place, ticks } = scaleOf(low, high, marginPercent);
          expect(place(1)).toBeCloseTo(0.5, 12);
          for (const value of [low, high, 1 + marginPercent / 100, 1 / (1 + marginPercent / 100)]) {
            expect(place(value)).toBeGreaterThan(0.02);
            expect(place(value)).toBeLessThan(0.98);
          }
          expect(ticks.some(({ label }) => label === 'equal')).toBe(true);
          expect(ticks.length).toBeLessThanOrEqual(11);
          for (const { value } of ticks)
            expect(place(value)).toBeCloseTo(Math.min(Math.max(place(value), 0), 1), 9);
        },
      ),
    );
  });

  it('ends where an interval reaches over decades, so that the middle can still be read', () => {
    const { place } = scaleOf(0.001, 1000);
    expect(place(0.001)).toBeLessThan(0);
    expect(place(1000)).toBeGreaterThan(1);
    expect(place(1.05)).toBeGreaterThan(0.51);
  });
});

describe('curves beside each other', () => {
  const trials = [
    trial(hollin, 1, 500),
    trial(tarnwick, 2, 480),
    trial(hollin, 3, null),
    trial(hollin, 4, 505, { leftOutBecause: 'voided' }),
    trial(brindlow, 5, 400),
    trial(tarnwick, 6, 481),
    trial(hollin, 7, 502, { isReference: true }),
  ];
  const runs = runsOfPair(trials, hollin.key, tarnwick.key);

  it('are those of A and B that take part, with and without a value, in their order', () => {
    expect(runs.map(({ trialId, side }) => `${side} ${trialId}`)).toEqual([
      'a setup:hollin 1',
      'b setup:tarnwick 2',
      'a setup:hollin 3',
      'b setup:tarnwick 6',
    ]);
  });

  it('are the newest of each side where there are too many', () => {
    expect(newestOfEach(runs, 2).map(({ trialId }) => trialId)).toEqual([
      'setup:hollin 3',
      'setup:tarnwick 6',
    ]);
    expect(newestOfEach(runs, 24)).toEqual(runs);
    expect(progressWords({ shown: 4, all: 9, loaded: 2 })).toBe('Reading curves: 2 of 4.');
    expect(progressWords({ shown: 4, all: 9, loaded: 4 })).toBe('The newest 4 of 9 runs are drawn.');
    expect(progressWords({ shown: 4, all: 4, loaded: 4 })).toBe('');
  });

  it('have a mean only where each has a value, and break it in a gap of one', () => {
    const rising = [0, 1, 2].map((x) => ({ x, y: 100 * x }));
    const gapped = [0, 1, 2].map((x) => ({ x, y: x === 1 ? Number.NaN : 100 * x + 10 }));
    const mean = meanCurve([rising, rising.map(({ x, y }) => ({ x, y: y + 20 }))], -1, 2);
    expect(mean.filter(({ x }) => x < 0).every(({ y }) => Number.isNaN(y))).toBe(true);
    expect(mean.at(-1)).toEqual({ x: 2, y: 210 });
    expect(meanCurve([rising, gapped], 0, 2).some(({ y }) => Number.isNaN(y))).toBe(true);
    expect(meanCurve([], 0, 2)).toEqual([]);
  });

  it('are read on the straight line between two points, and nowhere outside', () => {
    const points = [
      { x: 0, y: 0 },
      { x: 0.5, y: 10 },
      { x: 2, y: 40 },
    ];
    expect([0, 0.25, 0.5, 1.25, 2].map((x) => valueAt(points, x))).toEqual([0, 5, 10, 25, 40]);
    expect([-0.1, 2.1].map((x) => valueAt(points, x))).toEqual([Number.NaN, Number.NaN]);
    expect(valueAt([], 1)).toBeNaN();
  });

  it('stand run by run, first with first, and the longer side goes on alone', () => {
    const drawn = newestOfEach(runs, 24).map((run) => ({ ...run, points: [] }));
    const pairs = runPairs([...drawn, { trialId: 'third', side: 'a', points: [] }]);
    expect(pairs.map(({ a, b }) => [a?.trialId ?? null, b?.trialId ?? null])).toEqual([
      ['setup:hollin 1', 'setup:tarnwick 2'],
      ['setup:hollin 3', 'setup:tarnwick 6'],
      ['third', null],
    ]);
  });

  it('are told in words, each with its look', () => {
    const words = curvesSummary(
      { a: 'Hollin H5', b: 'Tarnwick T6' },
      { a: 2, b: 0 },
      { a: '500 N·m', b: null },
      5,
    );
    expect(words).toContain('2 runs of Hollin H5 (solid), 500 N·m at the end');
    expect(words).toContain('no curve of Tarnwick T6');
  });
});

describe('the frame of a picture', () => {
  const frame = pictureFrame({
    size: { width: 600, height: 300 },
    x: exactRange(-0.2, 5),
    y: rangeFromZero([-4, 480]),
    longestLabel: 'A Hollin H5',
  });

  it('puts the least and the greatest at its edges and leaves room for labels', () => {
    expect(frame.toX(-0.2)).toBeCloseTo(frame.left);
    expect(frame.toX(5)).toBeCloseTo(frame.right);
    // Noise around zero takes a sliver, not a whole step of the axis.
    expect(frame.bottom - frame.toY(0)).toBeLessThan(0.1 * (frame.bottom - frame.top));
    expect(frame.toY(500)).toBeCloseTo(frame.top);
    expect(600 - frame.right).toBeGreaterThan(80);
    expect(frame.xTicks.map(({ label }) => label)).toEqual(['0', '1', '2', '3', '4', '5']);
  });

  it('breaks a line where a value is missing', () => {
    const path = linePath(
      [0, 1, 2, 3, 4].map((x) => ({ x, y: x === 2 ? Number.NaN : 100 })),
      frame,
    );
    expect(path.match(/M/g)).toHaveLength(2);
  });
});
