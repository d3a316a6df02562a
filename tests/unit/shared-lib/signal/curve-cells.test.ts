import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  FANOUT,
  foldIntoCells,
  meansAround,
  reduceCells,
  visitStretch,
} from '../../../../shared-lib/signal/curve-cells.ts';
import { reduceMinMax } from '../../../../shared-lib/signal/fold-live-bins.ts';
import { measuringCurve } from '../../../../shared-lib/signal/measuring-curve.ts';
import { doAtOnce } from '../../../../shared-lib/work-in-pieces.ts';
import '../../../helpers/seed-of-chance.ts';

const cellsOf = (values: Float64Array) => doAtOnce(foldIntoCells(values));

/** Noisy torques with stretches of lost samples, from none of a small cell to several; long enough for cells of 256. */
const curves = fc
  .array(
    fc.record({
      torquesNm: fc.array(fc.double({ min: -2000, max: 2000, noNaN: true }), { maxLength: 150 }),
      lost: fc.integer({ min: 0, max: 200 }),
    }),
    { minLength: 1, maxLength: 9 },
  )
  .map((parts) =>
    Float64Array.from(
      parts.flatMap(({ torquesNm, lost }) => [...torquesNm, ...Array<number>(lost).fill(Number.NaN)]),
    ),
  );

describe('a stored curve folded into cells', () => {
  it('gives the very bins that all samples give, for any stretch and any number of bins', () => {
    fc.assert(
      fc.property(
        curves,
        fc.nat(),
        fc.nat(),
        fc.integer({ min: 1, max: 400 }),
        (values, one, other, bins) => {
          const ends = [one % (values.length + 1), other % (values.length + 1)].sort((a, b) => a - b);
          const [from = 0, to = 0] = ends;
          expect(reduceCells(cellsOf(values), from, to, bins)).toEqual(reduceMinMax(values, from, to, bins));
        },
      ),
    );
  });

  it('gives the measuring curve at the slots asked for, with its gaps and its ends', () => {
    fc.assert(
      fc.property(curves, fc.integer({ min: 0, max: 200 }), (values, half) => {
        const windowSamples = 2 * half + 1;
        const slots = Array.from(values.keys());
        const means = meansAround(cellsOf(values), slots, windowSamples);
        measuringCurve(values, windowSamples).forEach((mean, slot) => {
          if (Number.isNaN(mean)) expect(means[slot]).toBeNaN();
          else expect(means[slot]).toBeCloseTo(mean, 9);
        });
      }),
    );
  });

  it('keeps what lies between cells: one greatest sample is in exactly one bin', () => {
    const values = new Float64Array(10 * FANOUT);
    values[5 * FANOUT - 1] = 7;
    const { max } = reduceCells(cellsOf(values), 3, values.length - 5, 9);
    expect(max.filter((value) => value === 7)).toHaveLength(1);
  });

  it('hands a stretch out once, in order, in the largest cells that lie in it', () => {
    const cells = cellsOf(new Float64Array(FANOUT ** 3 + 5 * FANOUT));
    const seen: string[] = [];
    visitStretch(cells, FANOUT - 1, FANOUT ** 3 + FANOUT + 2, {
      onSlots: (from, to) => seen.push(`slots ${from} to ${to}`),
      onCells: ({ cellSamples }, from, to) =>
        seen.push(`${to - from} of ${cellSamples} from ${from * cellSamples}`),
    });
    expect(seen).toEqual([
      'slots 15 to 16',
      '15 of 16 from 16',
      '15 of 256 from 256',
      '1 of 16 from 4096',
      'slots 4112 to 4114',
    ]);
  });

  it('looks at no more of a long record than of a short one', () => {
    const looksAt = (length: number): number => {
      let looks = 0;
      const count = (from: number, to: number): void => {
        looks += to - from;
      };
      visitStretch(cellsOf(new Float64Array(length)), 1, length - 1, {
        onSlots: count,
        onCells: (_, from, to) => count(from, to),
      });
      return looks;
    };
    expect(looksAt(FANOUT ** 5)).toBeLessThan(2 * looksAt(FANOUT ** 3));
  });

  it('gives the turn back while a long record is folded', () => {
    const work = foldIntoCells(new Float64Array(1_000_000));
    let pieces = 0;
    while (work.next().done !== true) pieces += 1;
    expect(pieces).toBeGreaterThan(2);
  });

  it('refuses a stretch that leaves the record, and a window that has no middle', () => {
    const cells = cellsOf(new Float64Array(100));
    expect(() => reduceCells(cells, 0, 101, 10)).toThrow(RangeError);
    expect(() => reduceCells(cells, 50, 10, 10)).toThrow(RangeError);
    expect(() => meansAround(cells, [5], 4)).toThrow(RangeError);
  });
});
