import type { OpenFailure } from '../../../shared-lib/calibration/daily-check-model.ts';

/** What a failed check says of the trials under its mark. */
export function failureSentence(
  { failedAt, trialIds }: Pick<OpenFailure, 'failedAt' | 'trialIds'>,
  {
    isEarlierCalibration,
    formatInstant,
  }: { readonly isEarlierCalibration: boolean; readonly formatInstant: (instant: string) => string },
): string {
  const which = `The check of ${formatInstant(failedAt)}${isEarlierCalibration ? ', under an earlier calibration,' : ''} failed`;
  const count = trialIds.length;
  if (count === 0) return `${which}. No trial was made since the last pass, or all are decided on.`;
  const trials = count === 1 ? '1 trial carries' : `${count} trials carry`;
  return (
    `${which}, and nobody knows since when the bench has read wrong. So ${trials} its mark, made since the check that passed ` +
    'before it (or since the calibration). They are kept as they are; a pass later on does not take the mark off, your ' +
    'decision does.'
  );
}
