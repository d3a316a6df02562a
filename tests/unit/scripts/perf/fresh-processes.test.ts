import { describe, expect, it } from 'vitest';
import type { Figure } from '../../../../scripts/measured-figures.ts';
import { figuresInTheMiddle } from '../../../../scripts/perf/fresh-processes.ts';

function figure(value: number, baseline: number, unit = 'ms'): Figure {
  return { value, baseline, unit, limit: 100, met: true, note: `Median of 3 at ${value}.` };
}

describe('figures that several processes took of the same', () => {
  it('are those of the process whose ratio to its baseline lies in the middle, whatever its value', () => {
    const { a } = figuresInTheMiddle([{ a: figure(10, 1) }, { a: figure(30, 10) }, { a: figure(20, 4) }]);
    expect(a).toMatchObject({ value: 20, baseline: 4 });
  });

  it('say of how many they are one, and how far the others lie apart', () => {
    const { a } = figuresInTheMiddle([{ a: figure(10, 5) }, { a: figure(14, 5) }, { a: figure(12, 5) }]);
    expect(a?.note).toBe('Of 3 fresh processes the one whose ratio is in the middle. Median of 3 at 12.');
    expect(a?.spread).toMatchObject({ rounds: 3, least: 10, greatest: 14 });
  });

  it('are chosen one by one, by their value where that is a ratio already', () => {
    const unit = 'x in proportion';
    const { a, b } = figuresInTheMiddle([
      { a: figure(1, 9, unit), b: figure(3, 1) },
      { a: figure(2, 1, unit), b: figure(1, 1) },
      { a: figure(3, 5, unit), b: figure(2, 1) },
    ]);
    expect([a?.value, b?.value]).toEqual([2, 2]);
  });

  it('stay as they are where one process took them', () => {
    expect(figuresInTheMiddle([{ a: figure(10, 5) }])).toEqual({ a: figure(10, 5) });
  });

  it('are refused where a process did not take one of them', () => {
    expect(() => figuresInTheMiddle([{ a: figure(1, 1), b: figure(1, 1) }, { a: figure(1, 1) }])).toThrow(
      'Not every process has measured b',
    );
  });
});
