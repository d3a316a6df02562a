import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  createBinFolder,
  MAX_EMPTY_BINS,
  reduceMinMax,
} from '../../../../shared-lib/signal/fold-live-bins.ts';

const none = Number.NaN;
const sampleOrNone = fc.oneof(
  { weight: 5, arbitrary: fc.integer({ min: -1000, max: 1000 }) },
  fc.constant(none),
);

/** The definition, word for word: one bin looked at on its own. */
function extremesOf(values: readonly number[]): [number, number] {
  const samples = values.filter((value) => !Number.isNaN(value));
  return samples.length === 0 ? [none, none] : [Math.min(...samples), Math.max(...samples)];
}

describe('createBinFolder', () => {
  it('sends a bin once, when it is complete', () => {
    const folder = createBinFolder(4);
    expect(folder.push(0, Float64Array.of(3, 1, 2))).toEqual({
      firstBin: 0,
      min: Float32Array.of(),
      max: Float32Array.of(),
    });
    expect(folder.push(3, Float64Array.of(9, 5))).toEqual({
      firstBin: 0,
      min: Float32Array.of(1),
      max: Float32Array.of(9),
    });
    expect(folder.push(5, Float64Array.of(4, 4, 4))).toEqual({
      firstBin: 1,
      min: Float32Array.of(4),
      max: Float32Array.of(5),
    });
  });

  it('leaves bins without a sample empty, whether the slots came as NaN or were left out', () => {
    const folder = createBinFolder(2);
    folder.push(0, Float64Array.of(1));
    expect(folder.push(7, Float64Array.of(8, none, none, 5))).toEqual({
      firstBin: 0,
      min: Float32Array.of(1, none, none, 8, none),
      max: Float32Array.of(1, none, none, 8, none),
    });
    expect(folder.push(11, Float64Array.of(6))).toEqual({
      firstBin: 5,
      min: Float32Array.of(5),
      max: Float32Array.of(6),
    });
  });

  it('begins anew behind a gap too long to fill', () => {
    const folder = createBinFolder(2);
    folder.push(0, Float64Array.of(1));
    const farSlot = 2 * (MAX_EMPTY_BINS + 1);
    expect(folder.push(farSlot, Float64Array.of(7, 8))).toEqual({
      firstBin: MAX_EMPTY_BINS + 1,
      min: Float32Array.of(7),
      max: Float32Array.of(8),
    });
  });

  it('refuses to go back and refuses a bin of no samples', () => {
    const folder = createBinFolder(2);
    folder.push(10, Float64Array.of(1, 2));
    expect(() => folder.push(11, Float64Array.of(1))).toThrow(RangeError);
    expect(() => createBinFolder(0)).toThrow(RangeError);
  });

  it('gives the same bins for any chunking, each as its own samples say', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 9 }),
        fc.integer({ min: 0, max: 100 }),
        fc.array(
          fc.record({
            skip: fc.integer({ min: 0, max: 12 }),
            values: fc.array(sampleOrNone, { maxLength: 20 }),
          }),
        ),
        (samplesPerBin, startSlot, chunks) => {
          const folder = createBinFolder(samplesPerBin);
          const slots = new Map<number, number>();
          const folded: { bin: number; min: number; max: number }[] = [];
          let slot = startSlot;
          let isFirst = true;
          for (const { skip, values } of chunks) {
            if (!isFirst) slot += skip;
            isFirst = false;
            const { firstBin, min, max } = folder.push(slot, Float64Array.from(values));
            values.forEach((value, i) => slots.set(slot + i, value));
            min.forEach((low, i) => folded.push({ bin: firstBin + i, min: low, max: max[i] ?? none }));
            slot += values.length;
          }
          const firstBin = Math.floor(startSlot / samplesPerBin);
          const binCount = chunks.length === 0 ? 0 : Math.floor(slot / samplesPerBin) - firstBin;
          const expected = Array.from({ length: binCount }, (_, i) => {
            const bin = firstBin + i;
            const inBin = Array.from(
              { length: samplesPerBin },
              (_, k) => slots.get(bin * samplesPerBin + k) ?? none,
            );
            const [min, max] = extremesOf(inBin);
            return { bin, min, max };
          });
          expect(folded).toEqual(expected);
        },
      ),
    );
  });
});

describe('reduceMinMax', () => {
  it('puts every value in exactly one bin with the documented edges', () => {
    fc.assert(
      fc.property(
        fc.array(sampleOrNone, { maxLength: 60 }),
        fc.nat(60),
        fc.nat(60),
        fc.integer({ min: 1, max: 80 }),
        (values, a, b, bins) => {
          const from = Math.min(a, b, values.length);
          const to = Math.min(Math.max(a, b), values.length);
          const n = to - from;
          const m = Math.min(bins, n);
          const reduced = reduceMinMax(Float64Array.from(values), from, to, bins);
          const expected = Array.from({ length: m }, (_, i) =>
            extremesOf(values.slice(from + Math.floor((i * n) / m), from + Math.floor(((i + 1) * n) / m))),
          );
          expect([...reduced.min]).toEqual(expected.map(([low]) => low));
          expect([...reduced.max]).toEqual(expected.map(([, high]) => high));
        },
      ),
    );
  });

  it('gives each value its own bin when there are more bins than values', () => {
    const { min, max } = reduceMinMax(Float64Array.of(5, none, 7), 0, 3, 10);
    expect([...min]).toEqual([5, none, 7]);
    expect(max).toEqual(min);
  });

  it.each([
    [-1, 2, 1],
    [0, 4, 1],
    [2, 1, 1],
    [0, 3, 0],
    [0.5, 3, 1],
  ])('refuses values %d to %d of 3 in %d bins', (from, to, bins) => {
    expect(() => reduceMinMax(new Float64Array(3), from, to, bins)).toThrow(RangeError);
  });
});
