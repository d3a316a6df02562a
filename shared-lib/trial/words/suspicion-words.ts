import type { Suspicion } from '../suspicion.ts';

export interface SuspicionWords {
  /** For the list. */
  readonly mark: string;
  /** Whole, for the trial itself. */
  readonly sentence: string;
  /** Beside the word. */
  readonly shape: 'caution' | 'off' | null;
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
