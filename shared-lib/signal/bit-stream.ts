/** Writes numbers bit by bit, the highest bit first. */
export interface BitWriter {
  /** The lowest `bitCount` bits (0 to 32) of a whole number. */
  readonly write: (value: number, bitCount: number) => void;
  /** What was written, filled up with zeros to a whole byte. */
  readonly bytes: () => Uint8Array<ArrayBuffer>;
}

export function createBitWriter(expectedBytes: number): BitWriter {
  let buffer = new Uint8Array(Math.max(16, expectedBytes));
  let length = 0;
  /** Fewer than 8 bits that wait for a whole byte. */
  let pending = 0;
  let pendingBits = 0;

  const writeShort = (value: number, bitCount: number): void => {
    pending = (pending << bitCount) | (value & ((1 << bitCount) - 1));
    pendingBits += bitCount;
    while (pendingBits >= 8) {
      pendingBits -= 8;
      if (length === buffer.length) {
        const longer = new Uint8Array(2 * buffer.length);
        longer.set(buffer);
        buffer = longer;
      }
      buffer[length] = pending >>> pendingBits;
      length += 1;
    }
    pending &= (1 << pendingBits) - 1;
  };

  return {
    write: (value, bitCount) => {
      if (bitCount > 16) {
        writeShort(value >>> 16, bitCount - 16);
        writeShort(value, 16);
      } else {
        writeShort(value, bitCount);
      }
    },
    bytes: () => {
      if (pendingBits > 0) writeShort(0, 8 - pendingBits);
      return buffer.slice(0, length);
    },
  };
}

export interface BitReader {
  /** The next `bitCount` bits (0 to 32) as a number without sign. Errors: RangeError where there are no more. */
  readonly read: (bitCount: number) => number;
  /**
   * Fills `target` with numbers in limited-length Golomb-Rice codes: ones and a zero tell the part above the lowest `parameter`
   * bits, which follow; `MOST_ONES` of them and no zero, that the whole number follows in 32 bits. Errors: as `read`.
   */
  readonly readCodes: (target: Uint32Array, parameter: number) => void;
}

/** So many ones mean that the number itself follows, whole. */
export const MOST_ONES = 24;

/** A window holds at least so many bits from any position on. */
const WINDOW_BITS = 25;

export function createBitReader(bytes: Uint8Array): BitReader {
  // Zeros behind the end, so that a window may be looked at anywhere; four bytes at once are quicker than one by one.
  const padded = new Uint8Array(bytes.length + 8);
  padded.set(bytes);
  const view = new DataView(padded.buffer);
  const endBit = 8 * bytes.length;
  /** Where the next bit is, from the first. */
  let position = 0;

  /** The `WINDOW_BITS` or more from a position on, at the top of 32. */
  const window = (at: number): number => view.getUint32(at >>> 3) << (at & 7);
  const requireBits = (at: number): void => {
    if (at > endBit) throw new RangeError('The packed samples end too early');
  };
  const shortAt = (at: number, bitCount: number): number =>
    bitCount === 0 ? 0 : window(at) >>> (32 - bitCount);
  const longAt = (at: number, bitCount: number): number =>
    bitCount <= 16
      ? shortAt(at, bitCount)
      : shortAt(at, bitCount - 16) * 0x10000 + shortAt(at + bitCount - 16, 16);

  return {
    read: (bitCount) => {
      requireBits(position + bitCount);
      const value = longAt(position, bitCount);
      position += bitCount;
      return value;
    },
    readCodes: (target, parameter) => {
      let at = position;
      for (let i = 0; i < target.length; i += 1) {
        requireBits(at);
        const held = window(at);
        const ones = Math.clz32(~held);
        if (ones + 1 + parameter <= WINDOW_BITS && parameter > 0) {
          // Nearly every code lies in one window.
          target[i] = (ones << parameter) | ((held << (ones + 1)) >>> (32 - parameter));
          at += ones + 1 + parameter;
          continue;
        }
        const isWhole = ones >= MOST_ONES;
        const bitCount = isWhole ? 32 : parameter;
        at += isWhole ? MOST_ONES : ones + 1;
        requireBits(at + bitCount);
        target[i] = longAt(at, bitCount) + (isWhole ? 0 : (ones << parameter) >>> 0);
        at += bitCount;
      }
      requireBits(at);
      position = at;
    },
  };
}
