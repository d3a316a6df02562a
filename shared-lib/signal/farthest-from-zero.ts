/** The value that lies farthest from zero, with its sign; lost samples (NaN) left out, 0 where nothing is. */
export function farthestFromZero(values: Float64Array): number {
  let farthest = 0;
  for (let index = 0; index < values.length; index += 1) {
    const value = values[index] ?? Number.NaN;
    if (Math.abs(value) > Math.abs(farthest)) farthest = value;
  }
  return farthest;
}
