import { describe, expect, it } from 'vitest';
import { CurveDataset } from '../../../../renderer/live-curve/curve-dataset.ts';
import type { LiveCurve } from '../../../../shared-lib/bench-status.ts';

function piece(firstBin: number, values: readonly number[], change: Partial<LiveCurve> = {}): LiveCurve {
  return {
    generation: 1,
    quantity: 'torqueNm',
    sampleRateHz: 1000,
    samplesPerBin: 10,
    firstBin,
    min: Float32Array.from(values),
    max: Float32Array.from(values, (value) => value + 1),
    latestMean: null,
    isOutsideCalibratedRange: false,
    ...change,
  };
}

function minsOf(dataset: CurveDataset): number[] {
  return Array.from({ length: dataset.endBin - dataset.startBin }, (_, index) =>
    dataset.minAt(dataset.startBin + index),
  );
}

describe('CurveDataset', () => {
  it('begins where the first piece begins and keeps least and greatest of each bin', () => {
    const dataset = new CurveDataset(100);
    dataset.append(piece(40, [1, 2, 3]));
    expect([dataset.startBin, dataset.endBin, dataset.endSlot]).toEqual([40, 43, 430]);
    expect(minsOf(dataset)).toEqual([1, 2, 3]);
    expect(dataset.maxAt(42)).toBe(4);
  });

  it('keeps the place of a gap as NaN, whether it was sent as NaN or missed', () => {
    const dataset = new CurveDataset(100);
    dataset.append(piece(0, [1, Number.NaN, 3]));
    dataset.append(piece(5, [6]));
    expect(minsOf(dataset)).toEqual([1, Number.NaN, 3, Number.NaN, Number.NaN, 6]);
    expect(dataset.rangeOf(0, 6)).toEqual({ min: 1, max: 7 });
    expect(dataset.rangeOf(3, 5)).toBeNull();
  });

  it('takes only what is new of a piece that overlaps', () => {
    const dataset = new CurveDataset(100);
    dataset.append(piece(0, [1, 2, 3]));
    dataset.append(piece(1, [20, 30, 40, 50]));
    expect(minsOf(dataset)).toEqual([1, 2, 3, 40, 50]);
  });

  it('holds the newest bins within its capacity, however many come', () => {
    const dataset = new CurveDataset(8);
    for (let bin = 0; bin < 1000; bin += 3) dataset.append(piece(bin, [bin, bin + 1, bin + 2]));
    expect(dataset.endBin - dataset.startBin).toBe(8);
    expect(minsOf(dataset)).toEqual(Array.from({ length: 8 }, (_, index) => dataset.endBin - 8 + index));
    expect(dataset.minAt(dataset.startBin - 1)).toBeNaN();
    expect(dataset.minAt(dataset.endBin)).toBeNaN();
  });

  it('starts anew after a jump that is longer than all it can hold', () => {
    const dataset = new CurveDataset(8);
    dataset.append(piece(0, [1, 2]));
    dataset.append(piece(1_000_000, [7]));
    expect([dataset.startBin, dataset.endBin]).toEqual([1_000_000, 1_000_001]);
  });

  it.each([
    ['another generation', { generation: 2 }],
    ['another bin width', { samplesPerBin: 20 }],
  ])('forgets the curve before %s', (_, change) => {
    const dataset = new CurveDataset(100);
    dataset.append(piece(0, [1, 2, 3]));
    dataset.append(piece(90, [9], change));
    expect(minsOf(dataset)).toEqual([9]);
    expect(dataset.minAt(0)).toBeNaN();
  });
});
