import type { CalibrationVersion } from './calibration-model.ts';

/** What is known of the instant at which a trial began. */
export interface UseOfCalibration {
  /** The day of the trial, where the bench stands. */
  readonly day: string;
  /** Trials that had been made with it before. */
  readonly trialsBefore: number;
  /** A check had failed, and none had passed since. */
  readonly isUnderFailedCheck: boolean;
}

/** Why a calibration no longer held when a trial began, in sentences; empty: it held. */
export function calibrationDoubts(
  { validUntil, validForTrials }: Pick<CalibrationVersion, 'validUntil' | 'validForTrials'>,
  { day, trialsBefore, isUnderFailedCheck }: UseOfCalibration,
): string[] {
  const doubts: string[] = [];
  if (validUntil !== null && day > validUntil) {
    doubts.push(`The calibration held up to and including ${validUntil}; the trial was made on ${day}.`);
  }
  if (validForTrials !== null && trialsBefore >= validForTrials) {
    doubts.push(
      `The calibration held for ${validForTrials} ${validForTrials === 1 ? 'trial' : 'trials'}; ${trialsBefore} had been made with it before.`,
    );
  }
  if (isUnderFailedCheck) {
    doubts.push('The last check of the bench before it had failed, and none had passed since.');
  }
  return doubts;
}
