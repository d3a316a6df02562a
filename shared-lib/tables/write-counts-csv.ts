import type { SlotRange } from '../signal/sample-block.ts';

/** Two numbers of up to 11 signs, a separator and a line end. */
const MOST_BYTES_PER_ROW = 25;

const ZERO = 48;
const MINUS = 45;
const COMMA = 44;
const CR = 13;
const LF = 10;

/** Tens and ones of 0 to 99, since a division by 100 gives two digits. */
const tens = Uint8Array.from({ length: 100 }, (_, number) => ZERO + Math.floor(number / 10));
const ones = Uint8Array.from({ length: 100 }, (_, number) => ZERO + (number % 10));

/**
 * Rows `slot,counts` with CRLF, as ASCII, of the slots from `first` up to `end` (not included); a lost slot has no row.
 * `gaps` are in order and count from slot 0. By hand, byte by byte: as text it took several times as long.
 */
export function writeCountsCsv(
  counts: Int32Array,
  gaps: readonly SlotRange[],
  { first, end }: { readonly first: number; readonly end: number } = { first: 0, end: counts.length },
): Uint8Array<ArrayBuffer> {
  if (!(first >= 0 && first <= end && end <= counts.length)) {
    throw new RangeError(`Slots ${first} to ${end} do not lie within ${counts.length}`);
  }
  const bytes = new Uint8Array((end - first) * MOST_BYTES_PER_ROW);
  let at = 0;
  const writeWhole = (value: number): void => {
    let rest = value;
    if (rest < 0) {
      bytes[at] = MINUS;
      at += 1;
      rest = -rest;
    }
    const length = digitCount(rest);
    let position = at + length;
    at = position;
    while (rest >= 100) {
      const next = Math.floor(rest / 100);
      const pair = rest - next * 100;
      bytes[position - 1] = ones[pair] ?? 0;
      bytes[position - 2] = tens[pair] ?? 0;
      position -= 2;
      rest = next;
    }
    bytes[position - 1] = ones[rest] ?? 0;
    if (rest >= 10) bytes[position - 2] = tens[rest] ?? 0;
  };
  const writeRows = (from: number, to: number): void => {
    for (let slot = from; slot < to; slot += 1) {
      writeWhole(slot);
      bytes[at] = COMMA;
      at += 1;
      writeWhole(counts[slot] ?? 0);
      bytes[at] = CR;
      bytes[at + 1] = LF;
      at += 2;
    }
  };
  let next = first;
  for (const { offset, length } of gaps) {
    if (offset + length <= next) continue;
    if (offset >= end) break;
    if (offset > next) writeRows(next, offset);
    next = offset + length;
  }
  if (next < end) writeRows(next, end);
  return bytes.subarray(0, at);
}

/** Of a whole number from 0 to 2^31. */
function digitCount(value: number): number {
  if (value < 100_000) {
    if (value < 100) return value < 10 ? 1 : 2;
    if (value < 1000) return 3;
    return value < 10_000 ? 4 : 5;
  }
  if (value < 10_000_000) return value < 1_000_000 ? 6 : 7;
  if (value < 100_000_000) return 8;
  return value < 1_000_000_000 ? 9 : 10;
}
