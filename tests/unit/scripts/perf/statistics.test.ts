import { describe, expect, it } from 'vitest';
import { cpuTicksIn } from '../../../../scripts/perf/process-cpu.ts';
import {
  medianOf,
  medianRatioOf,
  roundTo,
  roundToDigits,
  spreadOf,
  sumOf,
} from '../../../../scripts/perf/statistics.ts';

describe('what the figures are made of', () => {
  it('is the middle value, whatever the order, or the mean of the two middle ones', () => {
    expect(medianOf([9, 1, 5])).toBe(5);
    expect(medianOf([10, 2, 4, 100])).toBe(7);
    expect(medianOf([])).toBeNaN();
  });

  it('is summed and rounded', () => {
    expect(sumOf([1, 2, 3.5])).toBe(6.5);
    expect(roundTo(1.2345, 2)).toBe(1.23);
    expect(roundToDigits(0.012345)).toBe(0.0123);
    expect(roundToDigits(12_345)).toBe(12_300);
  });

  it('is a ratio round by round, so that rounds which were slow on both sides show nothing', () => {
    expect(medianRatioOf([2, 20, 6], [1, 10, 2])).toBe(2);
    expect(medianRatioOf([], [])).toBeNaN();
  });

  it('says how far rounds lie apart, and how far the halves of a run', () => {
    expect(spreadOf([10, 11, 10, 99, 12, 12, 12])).toEqual({
      rounds: 7,
      least: 10,
      greatest: 99,
      // 10 and 12, of 12.
      halvesPercent: 16.7,
    });
    expect(spreadOf([5, 5, 5, 5]).halvesPercent).toBe(0);
    expect(spreadOf([5]).halvesPercent).toBeNull();
    expect(spreadOf([0, 0, 0, 1102, 3])).toMatchObject({ greatest: 1102, halvesPercent: null });
  });

  it('counts user and system time of a process, whatever its name holds', () => {
    // Fields as proc(5) numbers them: 14 is utime, 15 is stime.
    const stat = '4711 (a ) name) S 1 4711 4711 0 -1 4194304 100 0 0 0 250 75 0 0 20 0 11 0 12345 1 2 3';
    expect(cpuTicksIn(stat)).toBe(325);
    expect(() => cpuTicksIn('4711 (cut off) S 1')).toThrow('does not say');
  });
});
