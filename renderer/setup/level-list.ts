/** As many as the contract takes. */
export const MAX_LEVELS = 6;

/** Sorted, and without a level that is there already. */
export function withLevel(levelsNm: readonly number[], levelNm: number): number[] {
  return [...new Set([...levelsNm, levelNm])].sort((one, other) => one - other);
}

export function withoutLevel(levelsNm: readonly number[], levelNm: number): number[] {
  return levelsNm.filter((level) => level !== levelNm);
}
