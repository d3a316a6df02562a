/** From the middle of a bin to the top of the parabola through the logarithms of it and its neighbours, in bins. */
export function peakShift(power: Float64Array, bin: number): number {
  const [left, middle, right] = [bin - 1, bin, bin + 1].map((index) => Math.log(power[index] ?? 0));
  if (left === undefined || middle === undefined || right === undefined) return 0;
  const curvature = left - 2 * middle + right;
  const shift = (left - right) / (2 * curvature);
  return curvature < 0 ? shift : 0;
}
