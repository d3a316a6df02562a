import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { evenTimes, type EvenTimes } from '../../../../shared-lib/signal/even-times.ts';

/** Stamps of the slots at this rate, written with so many decimals. */
const stamps = (slots: readonly number[], rateHz: number, decimals: number, startS = 0): Float64Array =>
  Float64Array.from(slots, (slot) => Number((startS + slot / rateHz).toFixed(decimals)));
const upTo = (count: number): number[] => Array.from({ length: count }, (_, slot) => slot);
const even = (timesS: Float64Array, resolutionS: number): EvenTimes => {
  const times = evenTimes(timesS, resolutionS);
  if ('problem' in times) throw new Error(times.problem);
  return times;
};
const problemOf = (timesS: readonly number[]): { problem: string; index: number } => {
  const times = evenTimes(Float64Array.from(timesS), 1e-3);
  if (!('problem' in times)) throw new Error(`was taken for ${times.sampleRateHz} Sa/s`);
  return times;
};

describe('evenTimes', () => {
  it.each([
    [80, 3],
    [320, 4],
    [1000, 3],
    [40_000, 5],
    [100_000, 5],
  ])('finds %d Sa/s behind times with %d decimals', (rateHz, decimals) => {
    const { sampleRateHz, slotCount } = even(stamps(upTo(2001), rateHz, decimals, 3), 10 ** -decimals);
    expect(sampleRateHz).toBe(rateHz);
    expect(slotCount).toBe(2001);
  });

  it('has a rate from two times', () => {
    const { sampleRateHz, slotCount, startS } = even(Float64Array.of(3, 3.01), 1e-3);
    expect([sampleRateHz, slotCount, startS]).toEqual([100, 2, 3]);
  });

  it('takes the even clock from the longest stretch without a loss, wherever that is', () => {
    const slots = [0, 3, 6, 7, 8, 9, 10, 13, 14];
    expect([...even(stamps(slots, 333.3, 7), 1e-7).slots]).toEqual(slots);
  });

  it('takes no loss at the very beginning of a file for a slower clock', () => {
    // Nine samples are lost after the first: with that step among them the mean step would be 20 ms of eleven, not 10 ms.
    const slots = [0, ...upTo(11).map((slot) => slot + 10)];
    const times = even(stamps(slots, 100, 4), 1e-4);
    expect(times.sampleRateHz).toBe(100);
    expect([...times.slots]).toEqual(slots);
  });

  it('leaves a rate that is not whole as it is', () => {
    const { sampleRateHz } = even(stamps(upTo(5000), 79.37, 6), 1e-6);
    expect(sampleRateHz).toBeCloseTo(79.37, 6);
  });

  it('keeps the slot of every lost sample, wherever samples are lost', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.integer({ min: 1, max: 998 }), { maxLength: 300 }),
        fc.constantFrom(80, 333.3, 1000, 40_000),
        (lost, rateHz) => {
          const slots = upTo(1000).filter((slot) => !lost.includes(slot));
          const times = even(stamps(slots, rateHz, 7, -1), 1e-7);
          expect([...times.slots]).toEqual(slots);
          expect(times.slotCount).toBe(1000);
        },
      ),
    );
  });

  it('says where times do not rise', () => {
    expect(problemOf([0, 0.1, 0.2, 0.15, 0.3])).toEqual({ problem: 'the time runs backwards', index: 3 });
    expect(problemOf([0, 0.1, 0.1, 0.2])).toMatchObject({
      problem: expect.stringContaining('the same as on the line before') as string,
      index: 2,
    });
  });

  it('says where times are uneven, and allows less than a quarter of a period', () => {
    const shaken = (share: number): number[] =>
      upTo(100).map((slot) => (slot + (slot === 50 ? share : 0)) / 1000);
    expect(even(Float64Array.from(shaken(0.2)), 1e-6).sampleRateHz).toBeCloseTo(1000, 0);
    expect(problemOf(shaken(0.3))).toEqual({
      problem:
        'the times are uneven: a step of 0.001300 s where the period is 0.001000 s, and no time may lie a quarter of a ' +
        'period off the even clock',
      index: 50,
    });
    // Less than half a period is no step at all.
    const { problem, index } = problemOf([...upTo(100).map((slot) => slot / 1000), 0.0994]);
    expect(problem).toContain('a step of 0.0004000 s where the period is 0.0009940 s');
    expect(index).toBe(100);
  });

  it('does not take two rates for one', () => {
    const twoRates = [...upTo(100).map((slot) => slot / 1000), ...upTo(100).map((slot) => 0.1 + slot / 800)];
    expect(problemOf(twoRates).problem).toContain('uneven');
  });

  it('takes a hole longer than the record for two records', () => {
    expect(problemOf([0, 0.001, 0.002, 0.003, 3600]).problem).toContain('more samples are lost');
  });

  it('has no rate from one time', () => {
    expect(problemOf([1]).problem).toContain('no rate');
  });
});
