import { formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import type { TrialFigures } from '../../../shared-lib/trial/trial-model.ts';
import { qualityWords } from '../../../shared-lib/trial/words/quality-words.ts';
import { figureRows } from '../../../shared-lib/trial/words/figure-rows.ts';
import type { FigureRow } from '../../../shared-lib/trial/words/figure-row.ts';
import type { TorqueUnitDisplay } from '../../../shared-lib/trial/words/shown-quantity.ts';

export interface WhatIfRow {
  readonly name: string;
  readonly stored: string;
  readonly assumed: string;
  /** "+18.4 N·m, +3.6 %"; empty where there is nothing to take from each other, a dash where nothing changes. */
  readonly difference: string;
  readonly isChanged: boolean;
}

/** Stored figures and those under other assumptions side by side; a figure that only one of both has shows so. */
export function whatIfRows(
  stored: TrialFigures,
  assumed: TrialFigures,
  torque: TorqueUnitDisplay,
): WhatIfRow[] {
  const storedRows = figureRows(stored, torque);
  const assumedRows = figureRows(assumed, torque);
  const names = [...new Set([...storedRows, ...assumedRows].map(({ name }) => name))];
  const find = (rows: readonly FigureRow[], name: string) => rows.find((row) => row.name === name);
  const figures = names.map((name) => rowOf(name, find(storedRows, name), find(assumedRows, name)));
  const [before, after] = [stored, assumed].map(({ quality }) => qualityWords[quality.verdict]);
  const quality = { name: 'Quality', stored: before ?? '', assumed: after ?? '' };
  return [...figures, { ...quality, difference: '', isChanged: before !== after }];
}

function rowOf(name: string, stored: FigureRow | undefined, assumed: FigureRow | undefined): WhatIfRow {
  const [before, after] = [stored?.value ?? 'no figure', assumed?.value ?? 'no figure'];
  const isChanged = before !== after;
  return {
    name,
    stored: before,
    assumed: after,
    difference: isChanged ? differenceWords(stored, assumed) : '–',
    isChanged,
  };
}

function differenceWords(stored: FigureRow | undefined, assumed: FigureRow | undefined): string {
  const [before, after] = [stored?.number, assumed?.number];
  if (before == null || after == null) return '';
  const amount = after.value - before.value;
  const share =
    before.value === 0 ? '' : `, ${signed((100 * amount) / Math.abs(before.value), 1)}${THIN_SPACE}%`;
  return `${signed(amount, before.decimals)}${THIN_SPACE}${before.unit}${before.unit.startsWith('%') ? '' : share}`;
}

function signed(value: number, decimals: number): string {
  const text = formatNumber(value, decimals);
  return value > 0 ? `+${text}` : text;
}
