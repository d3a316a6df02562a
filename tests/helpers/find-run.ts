/** Index at which `wanted` stands whole in `written`; fails where it does not. */
export function findRun(written: readonly number[], wanted: Int32Array): number {
  for (let start = 0; start + wanted.length <= written.length; start += 1) {
    if (wanted.every((value, offset) => written[start + offset] === value)) return start;
  }
  throw new Error('The stored counts do not stand in what was written');
}
