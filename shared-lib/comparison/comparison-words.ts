import { formatNumber, THIN_SPACE } from '../format-quantity.ts';

/** Words that the sentences of a comparison share. */
export function percentText(percent: number, decimals = 1): string {
  return `${formatNumber(percent, decimals)}${THIN_SPACE}%`;
}

/** A margin or a confidence, as it was typed. */
export function shortPercent(percent: number): string {
  return percentText(percent, Number.isInteger(Number(percent.toFixed(6))) ? 0 : 1);
}

/** "8.1 to 16.7 %". */
export function percentRange(lowPercent: number, highPercent: number): string {
  return `${formatNumber(lowPercent, 1)} to ${percentText(highPercent)}`;
}

/** By how much more the larger is than the smaller, in percent, from a difference of logarithms. */
export function percentMore(differenceLn: number): number {
  return 100 * Math.expm1(differenceLn);
}

export function countOf(count: number, one: string, many: string): string {
  return count === 1 ? `one ${one}` : `${count} ${many}`;
}

/** As the first word of a sentence. */
export function sentenceCase(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** Of a breakaway: the preload was chosen, not reached. */
export const RELEASED_AT_LEAST =
  'A preload that was released says that the tool has at least that torque; how much more is not known.';
export const STATIC_CALIBRATION = 'Static calibration; dynamic error not included.';
