import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { foldIntoCells } from '../../../../shared-lib/signal/curve-cells.ts';
import { windowFigures, type TorqueRecord } from '../../../../shared-lib/trial/window-figures.ts';
import { doAtOnce } from '../../../../shared-lib/work-in-pieces.ts';
import '../../../helpers/seed-of-chance.ts';

/** A straight line of `slopeNmPerS` through 0 at onset, a sample every millisecond, onset at sample 1000. */
function ramp(slopeNmPerS: number, lost: readonly number[] = []): TorqueRecord {
  const torqueNm = Float64Array.from({ length: 4001 }, (_, i) => (slopeNmPerS * (i - 1000)) / 1000);
  for (const i of lost) torqueNm[i] = Number.NaN;
  return recordOf(torqueNm);
}

function recordOf(torqueNm: Float64Array): TorqueRecord {
  return { cells: doAtOnce(foldIntoCells(torqueNm)), onsetSlot: 1000, sampleRateHz: 1000 };
}

/** Each sample by itself, in the plainest way. */
function plainFigures(torqueNm: Float64Array) {
  const there = [...torqueNm.keys()].filter((slot) => !Number.isNaN(torqueNm[slot]));
  const values = there.map((slot) => torqueNm[slot] ?? Number.NaN);
  const meanNm = values.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = values.reduce((sum, value) => sum + (value - meanNm) ** 2, 0);
  const pieces = there.slice(1).map((slot, index) => {
    const [before = Number.NaN, after = Number.NaN] = values.slice(index, index + 2);
    return ((before + after) / 2) * (slot - (there[index] ?? Number.NaN));
  });
  return {
    meanNm,
    leastNm: Math.min(...values),
    greatestNm: Math.max(...values),
    standardDeviationNm: Math.sqrt(squares / (values.length - 1)),
    impulseNms: pieces.reduce((sum, piece) => sum + piece, 0) / 1000,
  };
}

describe('figures of a window', () => {
  it('of a straight line are those of the integral calculus', () => {
    // T = 100 t from 1 s to 3 s: mean 200, integral 50 (9 - 1) = 400; n equally spaced values scatter by
    // d sqrt(n (n + 1) / 12), d the distance of two.
    const figures = windowFigures(ramp(100), 1, 3);
    expect(figures.sampleCount).toBe(2001);
    expect(figures.lostCount).toBe(0);
    expect(figures.meanNm).toBeCloseTo(200, 9);
    expect(figures.leastNm).toBeCloseTo(100, 9);
    expect(figures.greatestNm).toBeCloseTo(300, 9);
    expect(figures.impulseNms).toBeCloseTo(400, 9);
    expect(figures.standardDeviationNm).toBeCloseTo(0.1 * Math.sqrt((2001 * 2002) / 12), 9);
  });

  it('keep the sign of the curve', () => {
    expect(windowFigures(ramp(-100), 1, 3)).toMatchObject({ leastNm: -300, greatestNm: -100 });
    expect(windowFigures(ramp(-100), 1, 3).impulseNms).toBeCloseTo(-400, 9);
  });

  it('take in both ends, and samples between them only', () => {
    const record = { ...recordOf(Float64Array.of(1, 2, 3, 4, 5)), onsetSlot: 1.5, sampleRateHz: 10 };
    expect(windowFigures(record, 0.05, 0.15)).toMatchObject({ sampleCount: 2, leastNm: 3, greatestNm: 4 });
    expect(windowFigures(record, 0.06, 0.14)).toMatchObject({ sampleCount: 0, meanNm: null });
  });

  it('leave lost samples out, count them, and bridge them in the impulse', () => {
    const lost = Array.from({ length: 100 }, (_, i) => 2500 + i);
    const figures = windowFigures(ramp(100, lost), 1, 3);
    expect(figures).toMatchObject({ sampleCount: 1901, lostCount: 100 });
    expect(figures.impulseNms).toBeCloseTo(400, 9);
    expect(figures.meanNm).not.toBeCloseTo(200, 1);
  });

  it('of an impulse with noise are near those without', () => {
    // Noise of +1 and -1 by turns: an even number of samples, so that it leaves the mean alone.
    const noisy = recordOf(Float64Array.from({ length: 4001 }, (_, i) => 50 + (i % 2 === 0 ? 1 : -1)));
    const figures = windowFigures(noisy, 0, 0.999);
    expect(figures.meanNm).toBeCloseTo(50, 9);
    expect(figures.standardDeviationNm).toBeCloseTo(Math.sqrt(1000 / 999), 9);
    expect(figures.impulseNms).toBeCloseTo(50 * 0.999, 9);
  });

  it('are those that each sample by itself gives, for any stretch and wherever samples were lost', () => {
    const torques = fc.array(
      fc.record({
        torquesNm: fc.array(fc.double({ min: -2000, max: 2000, noNaN: true }), {
          minLength: 2,
          maxLength: 400,
        }),
        lost: fc.integer({ min: 0, max: 40 }),
      }),
      { minLength: 1, maxLength: 5 },
    );
    fc.assert(
      fc.property(torques, fc.nat({ max: 60 }), fc.nat({ max: 60 }), (parts, before, after) => {
        const torqueNm = Float64Array.from(
          parts.flatMap(({ torquesNm, lost }) => [...torquesNm, ...Array<number>(lost).fill(Number.NaN)]),
        );
        const first = Math.min(before, torqueNm.length);
        const last = Math.max(first, torqueNm.length - 1 - after);
        const stretch = torqueNm.subarray(first, last + 1);
        fc.pre(stretch.filter((value) => !Number.isNaN(value)).length > 1);
        const figures = windowFigures(recordOf(torqueNm), (first - 1000.5) / 1000, (last - 999.5) / 1000);
        for (const [name, value] of Object.entries(plainFigures(stretch)))
          expect(figures[name as keyof typeof figures], name).toBeCloseTo(value, 6);
      }),
    );
  });

  it.each([
    ['beyond the record', 5, 6],
    ['before it', -3, -2],
    ['whose end lies before its start', 2, 1],
  ])('%s: there are none', (_, fromS, toS) => {
    expect(windowFigures(ramp(100), fromS, toS)).toEqual({
      sampleCount: 0,
      lostCount: 0,
      meanNm: null,
      leastNm: null,
      greatestNm: null,
      standardDeviationNm: null,
      impulseNms: null,
    });
  });

  it('of a single sample have neither scatter nor impulse', () => {
    expect(windowFigures(ramp(100), 1, 1)).toMatchObject({
      sampleCount: 1,
      meanNm: 100,
      standardDeviationNm: null,
      impulseNms: null,
    });
  });

  it('of lost samples only count what was lost', () => {
    expect(windowFigures(ramp(100, [1000, 1001]), 0, 0.001)).toMatchObject({
      sampleCount: 0,
      lostCount: 2,
      meanNm: null,
    });
  });
});
