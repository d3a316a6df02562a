/**
 * Lists of whole numbers in few bytes: seven bits per byte, the lowest first, the high bit set on all but a number's last
 * byte; negative numbers by zigzag (0, -1, 1, -2 ... become 0, 1, 2, 3 ...). Magnitudes below 2^52.
 */
const LIMIT = 2 ** 52;

export function encodeNumbers(values: readonly number[]): Uint8Array {
  const bytes: number[] = [];
  for (const value of values) {
    if (!Number.isInteger(value) || Math.abs(value) >= LIMIT) {
      throw new RangeError(`${value} is not a whole number below 2^52`);
    }
    // Division instead of shifts, which end at 32 bits.
    let rest = value < 0 ? -2 * value - 1 : 2 * value;
    while (rest >= 128) {
      bytes.push((rest % 128) + 128);
      rest = Math.floor(rest / 128);
    }
    bytes.push(rest);
  }
  return Uint8Array.from(bytes);
}

export function decodeNumbers(bytes: Uint8Array): number[] {
  const values: number[] = [];
  let rest = 0;
  let factor = 1;
  for (const byte of bytes) {
    rest += (byte % 128) * factor;
    factor *= 128;
    if (byte >= 128) continue;
    values.push(rest % 2 === 1 ? -(rest + 1) / 2 : rest / 2);
    rest = 0;
    factor = 1;
  }
  if (factor !== 1) throw new RangeError('The list ends within a number');
  return values;
}
