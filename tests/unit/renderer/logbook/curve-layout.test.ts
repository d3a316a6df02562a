import { describe, expect, it } from 'vitest';
import type { TrialCurve } from '../../../../shared-lib/api-contract.ts';
import { layOutCurve, middleOfBinS } from '../../../../renderer/logbook/curve/curve-layout.ts';
import { isAtTop, presentRuns } from '../../../../renderer/logbook/curve/paint-curve.ts';

const nothing = new Float64Array(0);
const curve: TrialCurve = {
  trialId: 'trial-1',
  sampleRateHz: 1000,
  startS: -1,
  endS: 9,
  binStartS: -1,
  binWidthS: 0.01,
  minNm: Float64Array.of(-10, 0, Number.NaN, 100),
  maxNm: Float64Array.of(0, 50, Number.NaN, 420),
  displayNm: nothing,
  displayTimeS: nothing,
  measuringNm: nothing,
  measuringTimeS: nothing,
};
const size = { widthPx: 1000, heightPx: 400 };
const layOut = (shownPerNm: number, fromS = -1, toS = 9) =>
  layOutCurve({ curve, window: { fromS, toS }, shownPerNm, fontPx: 13 }, size, (text) => 8 * text.length);

describe('layout of a stored curve', () => {
  it('places the ends of the window at the sides of the plot, and times back from there', () => {
    const { left, right, xOf, timeAt } = layOut(1, 2, 4);
    expect([xOf(2), xOf(4)]).toEqual([left, right]);
    expect(xOf(3)).toBeCloseTo((left + right) / 2, 9);
    expect(timeAt(xOf(2.345))).toBeCloseTo(2.345, 12);
    expect(right).toBeLessThan(size.widthPx);
  });

  it('has all of the raw curve in sight, zero too, with round numbers beside it', () => {
    const { top, bottom, yOf, torque } = layOut(1);
    expect(torque.ticks.map(({ label }) => label)).toEqual(['0', '100', '200', '300', '400', '500']);
    expect(yOf(420)).toBeGreaterThan(top);
    expect(yOf(-10)).toBeLessThan(bottom);
    expect(yOf(500)).toBeCloseTo(top, 9);
  });

  it('shows another unit at the same places of its own numbers', () => {
    const { top, yOf, torque } = layOut(0.5);
    expect(torque.max).toBe(300);
    expect(yOf(600)).toBeCloseTo(top, 9);
  });

  it('has the words of the run beside its rest and faults across from it, in either direction', () => {
    const forward = layOut(1).torque;
    const turned = (values: Float64Array) => values.map((value) => -value);
    const reverse = layOutCurve(
      {
        curve: { ...curve, minNm: turned(curve.maxNm), maxNm: turned(curve.minNm) },
        window: { fromS: -1, toS: 9 },
        shownPerNm: 1,
        fontPx: 13,
      },
      size,
      (text) => 8 * text.length,
    ).torque;
    expect([isAtTop(false, forward), isAtTop(true, forward)]).toEqual([false, true]);
    expect([isAtTop(false, reverse), isAtTop(true, reverse)]).toEqual([true, false]);
  });

  it('leaves the numbers at the left the room that they take', () => {
    const wide = layOutCurve(
      { curve, window: { fromS: 0, toS: 1 }, shownPerNm: 1, fontPx: 13 },
      size,
      (text) => 20 * text.length,
    );
    expect(wide.left - layOut(1).left).toBe(12 * 3);
  });

  it('puts a bin of one sample where the sample is, and a longer one in the middle of its samples', () => {
    expect(middleOfBinS({ ...curve, binWidthS: 0.001 }, 5)).toBeCloseTo(-0.995, 12);
    // Ten samples from -1 s to -0.991 s.
    expect(middleOfBinS(curve, 0)).toBeCloseTo(-0.9955, 12);
  });

  it('joins what lies between lost samples, and nothing across them', () => {
    expect(presentRuns(Float64Array.of(NaN, 1, 2, NaN, NaN, 3))).toEqual([
      { from: 1, to: 3 },
      { from: 5, to: 6 },
    ]);
    expect(presentRuns(Float64Array.of(NaN))).toEqual([]);
    expect(presentRuns(Float64Array.of(1, 2))).toEqual([{ from: 0, to: 2 }]);
  });
});
