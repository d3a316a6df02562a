import { describe, expect, it } from 'vitest';
import {
  type CheckFacts,
  describeCheckState,
} from '../../../../shared-lib/calibration/describe-check-state.ts';

const today = '2026-03-04';
const passed = (day: string) => ({ at: `${day}T06:00:00.000Z`, day });
const fresh: CheckFacts = {
  today,
  openFailureDay: null,
  lastPassed: null,
  newestCheckId: null,
  isOverloadUnchecked: false,
  suspectCount: 0,
};

describe('the state of the daily check', () => {
  it.each<[string, Partial<CheckFacts>, string, string]>([
    ['no check yet', {}, 'none', 'Never checked'],
    ['a pass of today', { lastPassed: passed(today) }, 'passed', 'Checked today'],
    ['a pass of yesterday', { lastPassed: passed('2026-03-03') }, 'due', 'Last passed on 2026-03-03'],
    [
      'an overload after a pass of today',
      { lastPassed: passed(today), isOverloadUnchecked: true },
      'due',
      'An overload came after the last check: check again',
    ],
    ['an overload and no check', { isOverloadUnchecked: true }, 'due', 'An overload came'],
    [
      'a failure that no pass has followed, whatever else passed since',
      { openFailureDay: '2026-03-03', lastPassed: passed(today), isOverloadUnchecked: true },
      'failed',
      'The check of 2026-03-03 failed',
    ],
  ])('after %s', (_, facts, state, sentence) => {
    expect(describeCheckState({ ...fresh, ...facts, newestCheckId: 7, suspectCount: 3 })).toEqual({
      state,
      sentence: expect.stringContaining(sentence) as string,
      lastPassedAt: facts.lastPassed?.at ?? null,
      newestCheckId: 7,
      suspectCount: 3,
    });
  });
});
