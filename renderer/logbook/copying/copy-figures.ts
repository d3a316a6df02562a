import type { TrialSummary } from '../../../shared-lib/trial/trial-model.ts';
import type { FigureRow } from '../../../shared-lib/trial/words/figure-row.ts';
import { setupWords, stepWords } from '../../../shared-lib/trial/words/pull-words.ts';
import { sortableTime } from './copy-trials.ts';
import { plainNumber, plainText, tabSeparated } from './plain-text.ts';

/** One figure as it is written into a sentence: "412.3 N·m". */
export function figureAsText({ value }: Pick<FigureRow, 'value'>): string {
  return plainText(value);
}

/** All figures as a table for a spreadsheet, with the trial they are of above them. */
export function figuresAsTable(summary: TrialSummary, rows: readonly FigureRow[], readBy: string): string {
  const { step, startedAt, setup, id, isSimulated, isVoided } = summary;
  const marks = [...(isVoided ? ['voided'] : []), ...(isSimulated ? ['simulated'] : [])];
  const head = [
    ['Tool', [step.toolName, setupWords(setup)].filter((part) => part !== '').join(', ')],
    ['Step', stepWords(step)],
    ['Begun', sortableTime(new Date(startedAt))],
    ['Trial', [id, ...marks].join(', ')],
    ['Torque', readBy],
    [],
    ['Figure', 'Value', 'Unit', 'Standard error', '95 % from', '95 % to', 'Remark'],
  ];
  return tabSeparated([...head, ...rows.map(cellsOf)]);
}

function cellsOf({ name, value, hint, isRefused, number }: FigureRow): string[] {
  if (number === null) return [name, isRefused ? '' : value, '', '', '', '', isRefused ? (hint ?? '') : ''];
  const { decimals } = number;
  return [
    name,
    plainNumber(number.value, decimals),
    number.unit,
    plainNumber(number.standardError, decimals + 1),
    plainNumber(number.low, decimals + 1),
    plainNumber(number.high, decimals + 1),
    '',
  ];
}
