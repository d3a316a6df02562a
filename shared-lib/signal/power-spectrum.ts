/**
 * Power |X(f)|^2 of values padded with zeros to `length` (a power of two, at least as long as they are), for the bins from 0
 * to `length`/2; bin k is the frequency k x rate / length. Unit: that of the values squared; no window, no scaling.
 *
 * Radix-2 transform of Cooley and Tukey (textbooks); checked against the sum that defines the transform.
 */
export function powerSpectrum(values: Float64Array, length: number): Float64Array {
  if (!Number.isInteger(Math.log2(length)) || length < values.length) {
    throw new RangeError(`${length} is no power of two, or less than the ${values.length} values.`);
  }
  const re = new Float64Array(length);
  const im = new Float64Array(length);
  let reversed = 0;
  for (let index = 0; index < length; index += 1) {
    re[reversed] = values[index] ?? 0;
    let bit = length >> 1;
    while (bit > 0 && (reversed & bit) !== 0) {
      reversed ^= bit;
      bit >>= 1;
    }
    reversed |= bit;
  }
  const cosines = new Float64Array(length / 2);
  const sines = new Float64Array(length / 2);
  for (let k = 0; k < length / 2; k += 1) {
    cosines[k] = Math.cos((2 * Math.PI * k) / length);
    sines[k] = -Math.sin((2 * Math.PI * k) / length);
  }
  for (let half = 1; half < length; half *= 2) {
    const stride = length / (2 * half);
    for (let first = 0; first < length; first += 2 * half) {
      for (let k = 0; k < half; k += 1) {
        const low = first + k;
        const high = low + half;
        const cosine = cosines[k * stride] ?? 0;
        const sine = sines[k * stride] ?? 0;
        const highRe = re[high] ?? 0;
        const highIm = im[high] ?? 0;
        const turnedRe = highRe * cosine - highIm * sine;
        const turnedIm = highRe * sine + highIm * cosine;
        const lowRe = re[low] ?? 0;
        const lowIm = im[low] ?? 0;
        re[low] = lowRe + turnedRe;
        im[low] = lowIm + turnedIm;
        re[high] = lowRe - turnedRe;
        im[high] = lowIm - turnedIm;
      }
    }
  }
  const power = new Float64Array(length / 2 + 1);
  for (let k = 0; k < power.length; k += 1) power[k] = (re[k] ?? 0) ** 2 + (im[k] ?? 0) ** 2;
  return power;
}
