import { describe, expect, it } from 'vitest';
import type { Figure } from '../../../../scripts/measured-figures.ts';
import { figuresInTheMiddle } from '../../../../scripts/perf/fresh-processes.ts';

function figure(value: number, baseline: number, unit = 'ms'): Figure {
  return { value, baseline, unit, limit: 100, met: true, note: `Median of 3 at ${value}.` };
}

describe('figures that several processes took of the same', () => {
  it('are medians, of value, baseline and ratio each by itself', () => {
    const { a } = figuresInTheMiddle([{ a: figure(10, 1) }, { a: figure(30, 10) }, { a: figure(24, 4) }]);
    expect(a).toMatchObject({ value: 24, baseline: 4, ratio: 6 });
    const { b } = figuresInTheMiddle([
      { b: { ...figure(10, 1), ratio: 8 } },
      { b: { ...figure(30, 3), ratio: 9 } },
      { b: { ...figure(20, 4), ratio: 7 } },
    ]);
    expect(b).toMatchObject({ value: 20, baseline: 3, ratio: 8 });
  });

  it('say of how many they are, whose words follow, and how far the values lie apart', () => {
    const { a } = figuresInTheMiddle([{ a: figure(10, 5) }, { a: figure(14, 5) }, { a: figure(12, 5) }]);
    expect(a?.note).toBe(
      'Medians of 3 fresh processes, one in each pass; what follows is of the one with the middle ratio. Median of 3 at 12.',
    );
    expect(a?.spread).toMatchObject({ rounds: 3, least: 10, greatest: 14 });
  });

  it('have met their limit where most have', () => {
    const missed = { ...figure(200, 1), met: false };
    expect(figuresInTheMiddle([{ a: missed }, { a: figure(90, 1) }, { a: figure(80, 1) }])['a']?.met).toBe(
      true,
    );
    expect(figuresInTheMiddle([{ a: missed }, { a: figure(90, 1) }, { a: missed }])['a']?.met).toBe(false);
  });

  it('have no further ratio where the value is one', () => {
    const unit = 'x in proportion';
    const { a } = figuresInTheMiddle([
      { a: figure(1, 9, unit) },
      { a: figure(2, 1, unit) },
      { a: figure(3, 5, unit) },
    ]);
    expect(a).toMatchObject({ value: 2, baseline: 5 });
    expect(a).not.toHaveProperty('ratio');
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
