import { describe, expect, it } from 'vitest';
import type { Figure, Report } from '../../../../scripts/measured-figures.ts';
import { changesBetween, repeatabilityLines } from '../../../../scripts/perf/repeatability.ts';

function figure(value: number, baseline: number, unit = 'ms'): Figure {
  return { value, baseline, unit, limit: 100, met: true, note: '' };
}

function report(figures: Report['figures'], form = 'full'): Report {
  return { machine: { processors: '2 x P', form }, date: '2026-01-02T03:04:05.000Z', figures };
}

describe('two runs of the measurements', () => {
  it('are compared as value over baseline, so that a machine that was slower throughout shows nothing', () => {
    const changes = changesBetween(
      { a: figure(10, 5), b: figure(4, 2) },
      { a: figure(20, 10), b: figure(3, 1) },
    );
    expect(changes).toEqual([
      { name: 'b', before: 2, after: 3, percent: 50 },
      { name: 'a', before: 2, after: 2, percent: 0 },
    ]);
  });

  it('are compared by the value alone where that is a ratio already', () => {
    const unit = 'x processor time';
    expect(changesBetween({ a: figure(1, 5, unit) }, { a: figure(1.1, 50, unit) })).toEqual([
      { name: 'a', before: 1, after: 1.1, percent: 10 },
    ]);
  });

  it('are compared by the ratio of the rounds where both sides took turns', () => {
    expect(
      changesBetween({ a: { ...figure(8, 4), ratio: 2 } }, { a: { ...figure(9, 3), ratio: 2.2 } }),
    ).toEqual([{ name: 'a', before: 2, after: 2.2, percent: 10 }]);
  });

  it('show a count beside nothing as it is, for it has no ratio', () => {
    const [before, after] = [report({ a: figure(0, 0) }), report({ a: figure(3, 0) })];
    expect(changesBetween(before.figures, after.figures)).toEqual([]);
    expect(repeatabilityLines(before, after).slice(1)).toEqual([
      '  a, a count and no ratio: 0 beside 0 and now 3 beside 0',
    ]);
  });

  it('show counts of chance as they are, whatever stands beside them', () => {
    const lost = (value: number, baseline: number) => ({ ...figure(value, baseline), ratio: null });
    const [before, after] = [report({ a: lost(456, 156) }), report({ a: lost(172, 156) })];
    expect(changesBetween(before.figures, after.figures)).toEqual([]);
    expect(repeatabilityLines(before, after).slice(1)).toEqual([
      '  a, a count and no ratio: 456 beside 156 and now 172 beside 156',
    ]);
  });

  it('say nothing of a figure that only one of them has, or that has become another', () => {
    expect(changesBetween({ a: figure(1, 1) }, { a: figure(9, 1, 'us'), b: figure(1, 1) })).toEqual([]);
  });

  it('name what differs by 15 % or more', () => {
    const lines = repeatabilityLines(
      report({ a: figure(100, 100), b: figure(100, 100) }),
      report({ a: figure(114.9, 100), b: figure(100, 115) }),
    );
    expect(lines[0]).toContain('1 of 2 ratios differ by less than 15 %');
    expect(lines.slice(1)).toEqual(['  b: 1 and now 0.87 (15 %)']);
  });

  it('are not compared where the machine or the form is another, which is said', () => {
    const now = report({ a: figure(1, 1) });
    expect(repeatabilityLines(report({ a: figure(1, 1) }, 'short'), now)).toEqual([
      'Not compared with the run of 2026-01-02 03:04 UTC: it was of another machine, another Node or browser, or another form.',
    ]);
    expect(repeatabilityLines(null, now)).toEqual([]);
  });
});
