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
