/** The mean of what is there, lost samples (NaN) left out; null where nothing is. */
export function meanOfPresent(values: Float64Array): number | null {
  let sum = 0;
  let count = 0;
  for (const value of values) {
    if (Number.isNaN(value)) continue;
    sum += value;
    count += 1;
  }
  return count === 0 ? null : sum / count;
}
