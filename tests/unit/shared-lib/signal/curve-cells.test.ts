import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  CELL_SAMPLES,
  foldIntoCells,
  meansAround,
  reduceCells,
} from '../../../../shared-lib/signal/curve-cells.ts';
import { reduceMinMax } from '../../../../shared-lib/signal/fold-live-bins.ts';
import { measuringCurve } from '../../../../shared-lib/signal/measuring-curve.ts';
import { doAtOnce } from '../../../../shared-lib/work-in-pieces.ts';
import '../../../helpers/seed-of-chance.ts';

const cellsOf = (values: Float64Array) => doAtOnce(foldIntoCells(values));

/** Noisy torques with stretches of lost samples, from none of a cell to several cells. */
const curves = fc
  .array(
    fc.record({
      torquesNm: fc.array(fc.double({ min: -2000, max: 2000, noNaN: true }), { maxLength: 150 }),
      lost: fc.integer({ min: 0, max: 3 * CELL_SAMPLES }),
    }),
    { minLength: 1, maxLength: 6 },
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
    const values = new Float64Array(10 * CELL_SAMPLES);
    values[5 * CELL_SAMPLES - 1] = 7;
    const { max } = reduceCells(cellsOf(values), 3, values.length - 5, 9);
    expect(max.filter((value) => value === 7)).toHaveLength(1);
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
