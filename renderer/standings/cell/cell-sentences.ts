import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import type { Cell, StandingsRow } from '../../../shared-lib/standings/standings-model.ts';
import { capitalised } from '../../../shared-lib/standings/words/measure-words.ts';
import { formatValue, type MeasureQuantity } from '../words/measure-quantity.ts';

type CellTrials = RequestResult<'getStandingsCell'>['trials'];

/** "412.3 N·m brings 61.2 points", or why there is no value and what becomes of that. */
export function cellSentence(cell: Cell, quantity: MeasureQuantity, decimals: number): string {
  const { value, points, missing, isCapped } = cell;
  if (value === null) {
    const because = missing ?? 'The value is missing';
    return points === null
      ? `${withStop(because)} The term is left out of the total.`
      : `${withStop(because)} It counts with ${pointsWords(points)}, since the rules ask for a value.`;
  }
  const words = formatValue(quantity, value, decimals);
  if (points === null) return `${words}; it brings no points.`;
  return `${words} brings ${pointsWords(points)}${isCapped ? ', the most that this term can bring' : ''}.`;
}

export function pointsWords(points: number, decimals = 1): string {
  return `${formatNumber(points, decimals)} ${points === 1 ? 'point' : 'points'}`;
}

export function withStop(sentence: string): string {
  return /[.!?]$/.test(sentence) ? sentence : `${sentence}.`;
}

/** "12 trials are behind it; 2 more were left out." */
export function trialCountWords(trials: CellTrials): string {
  const counting = trials.filter(({ leftOutBecause }) => leftOutBecause === null).length;
  const leftOut = trials.length - counting;
  const behind = counting === 1 ? '1 trial is behind it' : `${counting} trials are behind it`;
  if (leftOut === 0) return `${behind}.`;
  return `${behind}; ${leftOut === 1 ? '1 more was left out' : `${leftOut} more were left out`}, each for the reason beside it.`;
}

/** Those that count first, then by time. */
export function inReadingOrder(trials: CellTrials): CellTrials {
  return trials.toSorted(
    (a, b) =>
      Number(a.leftOutBecause !== null) - Number(b.leftOutBecause !== null) ||
      a.startedAt.localeCompare(b.startedAt),
  );
}

/** "3.2 points behind Hollin H5, 14.9 ahead of Tarnwick T6." Neighbours in the table, not in merit. */
export function leadWords(row: StandingsRow, rows: readonly StandingsRow[], decimals: number): string {
  const index = rows.findIndex(({ contender }) => contender.key === row.contender.key);
  const before = rows[index - 1];
  const after = rows[index + 1];
  const parts = [
    ...(before === undefined ? [] : [distanceWords(before, row, 'behind', decimals)]),
    ...(after === undefined ? [] : [distanceWords(after, row, 'ahead of', decimals)]),
  ];
  return parts.length === 0 ? 'It is the only one that is ranked.' : `${capitalised(parts.join(', '))}.`;
}

function distanceWords(other: StandingsRow, row: StandingsRow, word: string, decimals: number): string {
  const distance = Math.abs(other.total - row.total);
  return other.place === row.place
    ? `level with ${other.contender.label}`
    : `${pointsWords(distance, decimals)} ${word} ${other.contender.label}`;
}
