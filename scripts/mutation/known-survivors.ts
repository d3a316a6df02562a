/** A mutant that no test can find, since no input shows a difference. */
export interface KnownSurvivor {
  readonly file: string;
  readonly original: string;
  readonly replacement: string;
  /** Why it is equivalent. */
  readonly why: string;
}

export const knownSurvivors: readonly KnownSurvivor[] = [
  {
    file: 'shared-lib/trial/theil-sen.ts',
    original: '(x.length * (x.length - 1)) / 2',
    replacement: '((x.length * (x.length - 1))) * (2)',
    why: 'only room for the slopes, of which no more is used than was counted',
  },
  {
    file: 'shared-lib/trial/theil-sen.ts',
    original: 'count > 1',
    replacement: '(count) >= (1)',
    why: 'the correction for a value that stands once is 0',
  },
];
