import { describe, expect, it } from 'vitest';
import { fitSampleClock } from '../../../../shared-lib/signal/fit-sample-clock.ts';

const straight = (count: number, periodUs: number, startUs: number, firstSlot = 0, step = 100) =>
  Array.from({ length: count }, (_, i) => {
    const slot = firstSlot + i * step;
    return { slot, arrivalUs: startUs + slot * periodUs };
  });

describe('fitSampleClock', () => {
  it('finds rate and start of a line exactly', () => {
    const fit = fitSampleClock(straight(50, 12_500, 3_000_000));
    expect(fit?.sampleRateHz).toBeCloseTo(80, 10);
    expect(fit?.startUs).toBeCloseTo(3_000_000, 3);
    expect(fit?.residualUs).toBeLessThan(1e-3);
  });

  it('keeps its digits at the slots and times of a long uptime', () => {
    // 2^32 slots at 25 us after 40 days: squares of the raw values would pass 2^53 by far.
    const fit = fitSampleClock(straight(200, 25, 3.5e12, 2 ** 32));
    expect(fit?.sampleRateHz).toBeCloseTo(40_000, 3);
    expect(fit?.residualUs).toBeLessThan(0.01);
  });

  it('gives the residual of a known scatter: +a, -a in turn, orthogonal to the line', () => {
    // The pattern + - - + + - - + has no mean and no slope over any multiple of four equal steps,
    // so the fit is the line itself and every deviation is 300 us.
    const signs = [1, -1, -1, 1];
    const marks = straight(40, 1000, 0).map((mark, i) => ({
      ...mark,
      arrivalUs: mark.arrivalUs + 300 * (signs[i % 4] ?? 0),
    }));
    const fit = fitSampleClock(marks);
    expect(fit?.sampleRateHz).toBeCloseTo(1000, 9);
    expect(fit?.residualUs).toBeCloseTo(300, 6);
  });

  it('is not drawn to a lower rate by scatter in the arrival times', () => {
    // Alternating +-40 ms on marks 10 ms apart: slot regressed on time would read 14 % low here.
    const signs = [1, -1, -1, 1];
    const marks = straight(40, 1000, 0, 0, 10).map((mark, i) => ({
      ...mark,
      arrivalUs: mark.arrivalUs + 40_000 * (signs[i % 4] ?? 0),
    }));
    expect(fitSampleClock(marks)?.sampleRateHz).toBeCloseTo(1000, 6);
  });

  it.each([
    ['no marks', []],
    ['two marks', straight(2, 1000, 0)],
    ['one slot three times', [1, 2, 3].map((arrivalUs) => ({ slot: 7, arrivalUs }))],
    ['one time three times', [1, 2, 3].map((slot) => ({ slot, arrivalUs: 7 }))],
    ['time that runs backwards', straight(5, -1000, 0)],
    ['a time that is no number', [...straight(3, 1000, 0), { slot: 1000, arrivalUs: Number.NaN }]],
  ])('gives no rate for %s', (_, marks) => {
    expect(fitSampleClock(marks)).toBeNull();
  });
});
