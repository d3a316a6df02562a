import type { CheckState } from './daily-check-model.ts';

/** What is known of the checks of a calibration in use. Days are calendar days of the operator. */
export interface CheckFacts {
  readonly today: string;
  /** The newest failed check that no pass has followed. */
  readonly openFailureDay: string | null;
  readonly lastPassed: { readonly at: string; readonly day: string } | null;
  readonly newestCheckId: number | null;
  /** An overload came after the last pass, or since the calibration where there is none. */
  readonly isOverloadUnchecked: boolean;
  readonly suspectCount: number;
}

/** Where a bench stands with its daily check, and what to do next. An overload counts until a pass has followed it. */
export function describeCheckState(facts: CheckFacts): CheckState {
  const { lastPassed, newestCheckId, suspectCount } = facts;
  const { state, sentence } = judge(facts);
  return { state, sentence, lastPassedAt: lastPassed?.at ?? null, newestCheckId, suspectCount };
}

function judge(facts: CheckFacts): Pick<CheckState, 'state' | 'sentence'> {
  const { today, openFailureDay, lastPassed } = facts;
  if (openFailureDay !== null) {
    return {
      state: 'failed',
      sentence: `The check of ${openFailureDay} failed and none has passed since: the bench does not read as it was calibrated. Find the cause, check again, or calibrate anew.`,
    };
  }
  if (facts.isOverloadUnchecked) {
    return {
      state: 'due',
      sentence: 'An overload came after the last check: check again before the next trial.',
    };
  }
  if (lastPassed === null) {
    return {
      state: 'none',
      sentence: 'Never checked under this calibration: nothing shows yet that the bench still reads right.',
    };
  }
  return lastPassed.day === today
    ? { state: 'passed', sentence: 'Checked today, and it reads as it was calibrated.' }
    : {
        state: 'due',
        sentence: `Last passed on ${lastPassed.day}: check again before the first trial of today.`,
      };
}
