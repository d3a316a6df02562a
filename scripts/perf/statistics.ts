import type { Spread } from '../measured-figures.ts';

/** The middle value, or the mean of the two middle ones; NaN of nothing. */
export function medianOf(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  const upper = sorted[middle] ?? Number.NaN;
  return sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] ?? Number.NaN) + upper) / 2;
}

export function sumOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0);
}

export function roundTo(value: number, decimals: number): number {
  return Number(value.toFixed(decimals));
}

/** With as many digits that count, so that a small figure keeps as much of its precision as a great one. */
export function roundToDigits(value: number, digits = 3): number {
  return Number(value.toPrecision(digits));
}

/** The median of what each round's own pair gives, which a slow minute does not turn. */
export function medianRatioOf(values: readonly number[], baselines: readonly number[]): number {
  return medianOf(values.map((value, round) => value / (baselines[round] ?? Number.NaN)));
}

/** Least and greatest with as many decimals as the figure itself is given in. NaN of nothing. */
export function spreadOf(values: readonly number[], decimals = 1): Spread {
  const half = values.length >> 1;
  const [first, second] = [medianOf(values.slice(0, half)), medianOf(values.slice(-half))];
  const median = medianOf(values);
  return {
    rounds: values.length,
    least: roundTo(Math.min(...values), decimals),
    greatest: roundTo(Math.max(...values), decimals),
    halvesPercent: half === 0 || median === 0 ? null : roundTo((100 * Math.abs(first - second)) / median, 1),
  };
}
