/** A file that is not as it should be, and on which line, from 1. */
export class UnreadableLine extends Error {
  readonly line: number;

  constructor(line: number, problem: string) {
    super(problem);
    this.line = line;
  }
}

export interface PairReader {
  /** The next bytes of the file, cut anywhere. */
  push(bytes: Uint8Array): void;
  /** Errors: `UnreadableLine` where the file ends within a line. */
  end(): void;
}

const MINUS = 45;
const COMMA = 44;
const CR = 13;
const LF = 10;
const ZERO = 48;
/** 15 digits are a whole number in a double, whichever they are. */
const MOST_DIGITS = 15;

/**
 * Reads lines of two whole numbers, `12,-3456`, ended by CR LF, below a header: most of a package is such lines, so they are read byte
 * by byte. Written otherwise (blanks, plus signs, zeros in front) they are refused.
 *
 * Errors: `UnreadableLine`; what `onPair` throws.
 */
export function createPairReader(
  header: string,
  onPair: (first: number, second: number, line: number) => void,
): PairReader {
  let headerLeft = header;
  let line = 2;
  let first = 0;
  let value = 0;
  let digits = 0;
  let isNegative = false;
  /** 0: in the first number, 1: in the second, 2: behind CR. */
  let place = 0;

  const refuse = (): never => {
    throw new UnreadableLine(line, 'This is not two whole numbers with a comma between them.');
  };
  const numberRead = (): number => {
    if (digits === 0 || (isNegative && value === 0)) refuse();
    const read = isNegative ? -value : value;
    value = 0;
    digits = 0;
    isNegative = false;
    return read;
  };

  return {
    push(bytes) {
      let at = 0;
      for (; headerLeft !== '' && at < bytes.length; at += 1) {
        if (bytes[at] !== headerLeft.charCodeAt(0)) {
          throw new UnreadableLine(1, `The first line is not "${header.trim()}".`);
        }
        headerLeft = headerLeft.slice(1);
      }
      for (; at < bytes.length; at += 1) {
        const byte = bytes[at] ?? 0;
        if (byte >= ZERO && byte <= ZERO + 9 && place < 2) {
          if ((digits === 1 && value === 0) || digits === MOST_DIGITS) refuse();
          value = value * 10 + (byte - ZERO);
          digits += 1;
        } else if (byte === COMMA && place === 0) {
          first = numberRead();
          place = 1;
        } else if (byte === CR && place === 1) {
          const second = numberRead();
          onPair(first, second, line);
          place = 2;
        } else if (byte === LF && place === 2) {
          place = 0;
          line += 1;
        } else if (byte === MINUS && digits === 0 && !isNegative && place < 2) {
          isNegative = true;
        } else {
          refuse();
        }
      }
    },
    end() {
      if (headerLeft !== '') throw new UnreadableLine(1, `The first line is not "${header.trim()}".`);
      if (place !== 0 || digits > 0 || isNegative)
        throw new UnreadableLine(line, 'The file ends within this line.');
    },
  };
}
