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

export function createBitReader(bytes: Uint8Array): BitReader {
  /** Where the next bit is, from the first. */
  let position = 0;

  /** The 25 bits or more from a position on, at the top of 32; zeros behind the end. */
  const window = (at: number): number => {
    const byte = at >>> 3;
    const held =
      ((bytes[byte] ?? 0) << 24) |
      ((bytes[byte + 1] ?? 0) << 16) |
      ((bytes[byte + 2] ?? 0) << 8) |
      (bytes[byte + 3] ?? 0);
    return held << (at & 7);
  };
  const moveTo = (at: number): void => {
    if (at > 8 * bytes.length) throw new RangeError('The packed samples end too early');
    position = at;
  };
  const shortAt = (at: number, bitCount: number): number =>
    bitCount === 0 ? 0 : window(at) >>> (32 - bitCount);
  const longAt = (at: number, bitCount: number): number =>
    bitCount <= 16
      ? shortAt(at, bitCount)
      : shortAt(at, bitCount - 16) * 0x10000 + shortAt(at + bitCount - 16, 16);

  return {
    read: (bitCount) => {
      const value = longAt(position, bitCount);
      moveTo(position + bitCount);
      return value;
    },
    readCodes: (target, parameter) => {
      let at = position;
      for (let i = 0; i < target.length; i += 1) {
        const ones = Math.clz32(~window(at));
        if (ones < MOST_ONES) {
          at += ones + 1;
          target[i] = ((ones << parameter) | longAt(at, parameter)) >>> 0;
          at += parameter;
        } else {
          target[i] = longAt(at + MOST_ONES, 32);
          at += MOST_ONES + 32;
        }
      }
      moveTo(at);
    },
  };
}
