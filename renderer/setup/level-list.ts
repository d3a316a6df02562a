import type { TorqueUnit } from '../../shared-lib/api-contract.ts';
import { toOwnUnit } from '../../shared-lib/format-quantity.ts';
import { isRoundLevel } from '../../shared-lib/level-words.ts';

/** As many as the contract takes. */
export const MAX_LEVELS = 6;

/** Sorted, and without a level that is there already. */
export function withLevel(levelsNm: readonly number[], levelNm: number): number[] {
  return [...new Set([...levelsNm, levelNm])].sort((one, other) => one - other);
}

export function withoutLevel(levelsNm: readonly number[], levelNm: number): number[] {
  return levelsNm.filter((level) => level !== levelNm);
}

/** Levels that suit most tools (ours), as round figures of each unit. */
export const usualLevelsNm: Readonly<Record<TorqueUnit, readonly number[]>> = {
  Nm: [100, 200, 400],
  ftLbf: [75, 150, 300].map((level) => toOwnUnit(level, 'ftLbf')),
};

/** Whether every level is one that somebody would have entered in this unit. */
export function areRoundIn(levelsNm: readonly number[], unit: TorqueUnit): boolean {
  return levelsNm.every((levelNm) => isRoundLevel(levelNm, unit));
}
