import { AppError } from '../app-error.ts';

/**
 * Turns counts into bytes that compress well, without loss; the compression itself is applied where they are stored.
 *
 * Each count is replaced by its difference from the one before (from 0 for the first), in wrapping 32-bit arithmetic so
 * that every sequence comes back. Differences are folded to 0, -1, 1, -2, ... -> 0, 1, 2, 3, ..., which leaves the upper
 * bytes of small differences at zero whatever their sign. Byte k of all differences is then stored together as plane k,
 * lowest first: `4 * counts.length` bytes.
 */
export function encodePlanes(counts: Int32Array): Uint8Array {
  const n = counts.length;
  const planes = new Uint8Array(4 * n);
  let previous = 0;
  for (let i = 0; i < n; i += 1) {
    const count = counts[i] ?? 0;
    const difference = (count - previous) | 0;
    const folded = (difference << 1) ^ (difference >> 31);
    planes[i] = folded;
    planes[n + i] = folded >>> 8;
    planes[2 * n + i] = folded >>> 16;
    planes[3 * n + i] = folded >>> 24;
    previous = count;
  }
  return planes;
}

/**
 * The counts that `encodePlanes` was given.
 *
 * Errors: AppError 'block-corrupt' where `planes` is not the length that `count` samples take.
 */
export function decodePlanes(planes: Uint8Array, count: number): Int32Array {
  if (planes.length !== 4 * count) {
    throw new AppError(
      'block-corrupt',
      `A stored block should hold ${count} samples in ${4 * count} bytes but has ${planes.length} bytes. ` +
        'Its samples cannot be read; the other blocks are not affected. Restore the data folder from a backup to get them back.',
      { expectedBytes: 4 * count, actualBytes: planes.length },
    );
  }
  const counts = new Int32Array(count);
  let previous = 0;
  for (let i = 0; i < count; i += 1) {
    const folded =
      (planes[i] ?? 0) |
      ((planes[count + i] ?? 0) << 8) |
      ((planes[2 * count + i] ?? 0) << 16) |
      ((planes[3 * count + i] ?? 0) << 24);
    previous = (previous + ((folded >>> 1) ^ -(folded & 1))) | 0;
    counts[i] = previous;
  }
  return counts;
}
