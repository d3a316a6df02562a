import { describe, expect, it } from 'vitest';
import { judge } from '../../../../shared-lib/comparison/verdict.ts';

const MARGIN = Math.log(1.05);
const verdictOf = (
  interval: readonly [number, number],
  levelInterval: readonly [number, number] = interval,
  isPartUnknown = false,
) =>
  judge({
    interval: { low: interval[0], high: interval[1] },
    levelInterval: { low: levelInterval[0], high: levelInterval[1] },
    margin: MARGIN,
    isPartUnknown,
  });

describe('the verdict', () => {
  it('is by the margin where the whole interval lies beyond it', () => {
    expect(verdictOf([0.06, 0.1])).toBe('aheadByMargin');
    expect(verdictOf([-0.1, -0.06])).toBe('behindByMargin');
    expect(verdictOf([MARGIN, 0.1])).toBe('ahead');
    expect(verdictOf([-0.1, -MARGIN])).toBe('behind');
  });

  it('is level where the narrower interval lies within the margin, even where a difference is certain', () => {
    expect(verdictOf([-0.06, 0.04], [-0.04, 0.03])).toBe('level');
    expect(verdictOf([0.01, 0.04], [0.015, 0.035])).toBe('level');
    expect(verdictOf([-0.06, 0.05], [-MARGIN, 0.03])).toBe('tooCloseToCall');
    expect(verdictOf([-0.05, 0.06], [-0.03, MARGIN])).toBe('tooCloseToCall');
  });

  it('is ahead or behind where the interval leaves out zero, and else too close to call', () => {
    expect(verdictOf([0.01, 0.1])).toBe('ahead');
    expect(verdictOf([-0.1, -0.01])).toBe('behind');
    expect(verdictOf([-0.01, 0.1])).toBe('tooCloseToCall');
    // Zero itself is not left out.
    expect(verdictOf([0, 0.1])).toBe('tooCloseToCall');
    expect(verdictOf([-0.1, 0])).toBe('tooCloseToCall');
  });

  it('is neither level nor by the margin while the day-to-day scatter is unknown', () => {
    expect(verdictOf([0.06, 0.1], [0.07, 0.09], true)).toBe('ahead');
    expect(verdictOf([-0.1, -0.06], [-0.09, -0.07], true)).toBe('behind');
    expect(verdictOf([-0.01, 0.01], [-0.01, 0.01], true)).toBe('tooCloseToCall');
  });

  it('needs more runs where nothing is known of scatter', () => {
    const known = { low: 0.06, high: 0.1 };
    for (const [interval, levelInterval] of [
      [null, null],
      [known, null],
      [null, known],
    ] as const) {
      expect(judge({ interval, levelInterval, margin: MARGIN, isPartUnknown: false })).toBe('needsMoreRuns');
    }
  });
});
