import type { Suspicion } from '../../../shared-lib/trial/suspicion.ts';
import type { StateShapeName } from '../../ui/StateShape.tsx';

export interface SuspicionWords {
  /** For the list. */
  readonly mark: string;
  /** Whole, for the trial itself. */
  readonly sentence: string;
  readonly shape: StateShapeName | null;
}

/** How a mark of a failed check reads; null: the trial has none. */
export function suspicionWords(
  suspicion: Suspicion | null,
  formatWhen: (at: string) => string,
): SuspicionWords | null {
  if (suspicion === null) return null;
  const failed = `The daily check of ${formatWhen(suspicion.failedAt)} failed, and no check that passed lies between it and this trial.`;
  const why = suspicion.reason === null ? '' : ` Reason: ${suspicion.reason}`;
  switch (suspicion.decision) {
    case null:
      return {
        mark: 'Suspect',
        shape: 'caution',
        sentence: `${failed} Whether its torque can be believed has not been decided.`,
      };
    case 'usable':
      return {
        mark: 'Usable',
        shape: null,
        sentence: `${failed} It was decided that the trial is usable as it is.${why}`,
      };
    case 'excluded':
      return {
        mark: 'Excluded',
        shape: 'off',
        sentence: `${failed} It was decided to leave the trial out wherever trials are used.${why}`,
      };
  }
}

/** Usual reasons (common practice, no source); anything else goes into own words. */
export const usualUsableReasons: readonly string[] = [
  'The check itself was wrong: wrong weight or arm, or something touched it',
  'The fault came after these trials',
  'The error found is small against what the trials are used for',
];

export const usualExcludedReasons: readonly string[] = [
  'The bench read wrong by more than the trials can bear',
  'Nobody can say since when the bench has read wrong',
  'Transducer or mounting was found damaged',
];

export function trialCountWords(count: number): string {
  return count === 1 ? 'this trial' : `these ${count} trials`;
}
