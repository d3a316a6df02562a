import { describe, expect, it } from 'vitest';
import { inWordsOfBefore, whyDaysTellTooLittle } from '../../../../shared-lib/standings/few-days.ts';

const ofThreeDays = whyDaysTellTooLittle({ standardDeviation: 0.01, degreesOfFreedom: 2 }) ?? '';
const sentence = (why: string): string => `Across sessions, day-to-day scatter ${why}. Not told apart.`;
const other = 'Nobody is ranked, so there are no ranges.';

describe('the words for few days', () => {
  it('tell unknown days from three of them, and say nothing from the fourth on', () => {
    expect(whyDaysTellTooLittle(null)).toBe('unknown');
    expect(whyDaysTellTooLittle(undefined)).toBe('unknown');
    expect(ofThreeDays).toContain('known from three days only');
    expect(whyDaysTellTooLittle({ standardDeviation: 0.01, degreesOfFreedom: 3 })).toBeNull();
  });

  it('stand beside the ranges of before as unknown, and beside the table of before not at all', () => {
    const computed = [sentence(ofThreeDays), other];
    expect(inWordsOfBefore(computed, [other], 'ranges')).toEqual([sentence('unknown'), other]);
    expect(inWordsOfBefore(computed, [other], 'table')).toEqual([other]);
  });

  it('stay as they are where they were said', () => {
    const computed = [sentence(ofThreeDays), other];
    expect(inWordsOfBefore(computed, computed, 'ranges')).toEqual(computed);
    expect(inWordsOfBefore(computed, computed, 'table')).toEqual(computed);
  });
});
