import type { ValueRange } from '../../live-curve/value-range.ts';

const stepHeads = [1, 2, 5, 10] as const;
/** A range of one value still needs a height. */
const LEAST_SPAN_SHARE = 1e-6;

/** The smallest range on round numbers around all values that are finite, in about five steps; it need not hold zero. */
export function roundRange(values: readonly number[]): ValueRange {
  const finite = values.filter(Number.isFinite);
  if (finite.length === 0) return { min: 0, max: 1, step: 0.2 };
  const least = finite.reduce((min, value) => Math.min(min, value));
  const greatest = finite.reduce((max, value) => Math.max(max, value));
  const size = Math.max(Math.abs(least), Math.abs(greatest));
  const span = greatest - least > size * LEAST_SPAN_SHARE ? greatest - least : size || 1;
  const raw = span / 5;
  const decade = 10 ** Math.floor(Math.log10(raw));
  const head = stepHeads.find((candidate) => candidate * decade >= raw * (1 - 1e-9)) ?? 10;
  const step = head * decade;
  const min = Math.floor(least / step + 1e-9) * step;
  const max = Math.ceil(greatest / step - 1e-9) * step;
  return max > min ? { min: min + 0, max: max + 0, step } : { min: min - step, max: max + step, step };
}

/** As many decimals as the steps between ticks need. */
export function tickDecimals(step: number): number {
  return Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
}
