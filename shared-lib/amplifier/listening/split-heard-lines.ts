export type HeardEnding = '\n' | '\r\n' | '\r';

/** A line as it came, one character per byte. */
export interface HeardLine {
  readonly text: string;
  readonly ending: HeardEnding;
  /** Monotonic time at which its end arrived. */
  readonly arrivalUs: number;
  /** Whether it was longer than what is kept of it. */
  readonly isCut: boolean;
}

export interface HeardLineSplitter {
  /** The lines that are complete with these bytes. */
  push(bytes: Uint8Array, arrivalUs: number): HeardLine[];
  /** Bytes since the last line end. */
  readonly unendedBytes: number;
}

export const LONGEST_HEARD_LINE = 200;

const LINE_FEED = 0x0a;
const CARRIAGE_RETURN = 0x0d;
const SPACE = 0x20;
const DELETE = 0x7f;
const LAST_INVISIBLE = 0x9f;

/**
 * Splits bytes into lines whatever ends them, also where the endings are mixed. Empty lines are passed over, and so is what
 * comes before the first line end, since listening begins in the middle of a line as a rule.
 *
 * A carriage return waits for the byte after it, which decides whether both are one ending: a device that ends lines with
 * it alone is heard one line late.
 */
export function createHeardLineSplitter(): HeardLineSplitter {
  let text = '';
  let lineBytes = 0;
  let isFirst = true;
  /** Arrival of a carriage return that waits for the next byte. */
  let returnUs: number | null = null;

  return {
    get unendedBytes() {
      return lineBytes;
    },
    push(bytes, arrivalUs) {
      const lines: HeardLine[] = [];
      const end = (ending: HeardEnding, endUs: number): void => {
        returnUs = null;
        if (lineBytes > 0 && !isFirst) {
          lines.push({ text, ending, arrivalUs: endUs, isCut: lineBytes > text.length });
        }
        isFirst = false;
        text = '';
        lineBytes = 0;
      };
      for (const byte of bytes) {
        if (byte === LINE_FEED) {
          end(returnUs === null ? '\n' : '\r\n', returnUs ?? arrivalUs);
          continue;
        }
        if (returnUs !== null) end('\r', returnUs);
        if (byte === CARRIAGE_RETURN) {
          returnUs = arrivalUs;
          continue;
        }
        lineBytes += 1;
        if (text.length < LONGEST_HEARD_LINE) text += String.fromCharCode(byte);
      }
      return lines;
    },
  };
}

/** The line with every invisible character replaced by its picture (Unicode block "Control Pictures"), for the eye only. */
export function showHeardLine(text: string): string {
  let shown = '';
  for (let index = 0; index < text.length; index += 1) {
    const code = text.charCodeAt(index);
    if (code === 0x09 || (code >= SPACE && code < DELETE) || code > LAST_INVISIBLE)
      shown += text.charAt(index);
    else if (code < SPACE) shown += String.fromCharCode(0x2400 + code);
    else shown += code === DELETE ? '\u2421' : '\ufffd';
  }
  return shown;
}
