import { formatNumber, THIN_SPACE } from '../../format-quantity.ts';
import type { Measure } from '../trial-model.ts';
import { finer, type ShownQuantity } from './shown-quantity.ts';

export type FigureGroup = 'Result' | 'Over time' | 'For study only' | 'What they rest on';

export interface FigureRow {
  readonly group: FigureGroup;
  readonly name: string;
  /** The value with its unit, or "not reached", or "no figure" with the reason in the hint. */
  readonly value: string;
  /** "standard error 1.2 N·m", "95 %: 401 to 423 N·m"; null where none is known. */
  readonly uncertainty: string | null;
  /** The definition, or the reason why there is no figure; null where the row above has said it. */
  readonly hint: string | null;
  readonly isRefused: boolean;
  /** For a spreadsheet, in the shown unit; null where the value is no number. */
  readonly number: FigureNumber | null;
}

export interface FigureNumber {
  readonly value: number;
  readonly standardError: number | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly unit: string;
  readonly decimals: number;
}

export type RowWords = Pick<FigureRow, 'group' | 'name' | 'hint'>;

export function measureRow(words: RowWords, measure: Measure, quantity: ShownQuantity): FigureRow {
  if ('refused' in measure) {
    return { ...textRow(words, 'no figure'), hint: measure.refused, isRefused: true };
  }
  const { value, standardError, interval } = measure;
  return {
    ...words,
    value: quantity.format(value),
    uncertainty: uncertaintyWords(measure, quantity),
    isRefused: false,
    number: {
      value: quantity.toShown(value),
      standardError: standardError === undefined ? null : quantity.toShown(standardError),
      low: interval === undefined ? null : quantity.toShown(interval.low),
      high: interval === undefined ? null : quantity.toShown(interval.high),
      unit: quantity.unit,
      decimals: quantity.decimals,
    },
  };
}

/** A value of which no uncertainty is known. */
export function valueRow(words: RowWords, value: number, quantity: ShownQuantity): FigureRow {
  return measureRow(words, { value }, quantity);
}

/** What is no number, and no refusal either. */
export function textRow(words: RowWords, value: string): FigureRow {
  return { ...words, value, uncertainty: null, isRefused: false, number: null };
}

function uncertaintyWords(
  { standardError, interval }: Extract<Measure, { readonly value: number }>,
  quantity: ShownQuantity,
): string | null {
  const parts: string[] = [];
  if (standardError !== undefined) {
    parts.push(`standard error ${finer(quantity).format(standardError)}`);
  }
  if (interval !== undefined) {
    const low = formatNumber(quantity.toShown(interval.low), quantity.decimals);
    parts.push(`95${THIN_SPACE}%: ${low} to ${quantity.format(interval.high)}`);
  }
  return parts.length === 0 ? null : parts.join(', ');
}
