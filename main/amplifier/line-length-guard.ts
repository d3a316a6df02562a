/** No amplifier line is near this long; a parser that collects an endless line blocks for seconds. */
export const LONGEST_LINE_BYTES = 4096;

export interface LineLengthGuard {
  /** What of these bytes, the next of the stream, the parser may have, in order. */
  pass(chunk: Buffer): readonly Buffer[];
}

/**
 * Passes bytes on, except for a line that grows beyond 4 KB without an end: the rest of it is dropped up to the next line
 * end and `onOverlong` is told once, with some of its text. The beginning that was passed on reaches the parser as a line
 * of its own, which no profile can read.
 */
export function createLineLengthGuard(
  lineEnding: string,
  onOverlong: (text: string) => void,
): LineLengthGuard {
  const endingBytes = Buffer.from(lineEnding, 'latin1');
  const lastByte = lineEnding.charCodeAt(lineEnding.length - 1);
  let lineBytes = 0;
  let isDropping = false;

  const passLineByLine = (chunk: Buffer): Buffer[] => {
    const passed: Buffer[] = [];
    for (let from = 0, to = 0; from < chunk.length; from = to) {
      const end = chunk.indexOf(lastByte, from);
      to = end === -1 ? chunk.length : end + 1;
      if (!isDropping && lineBytes + to - from <= LONGEST_LINE_BYTES) {
        passed.push(chunk.subarray(from, to));
      } else {
        if (!isDropping) onOverlong(chunk.toString('latin1', from, Math.min(to, from + 100)));
        isDropping = end === -1;
        // The parser needs a line end to let go of the beginning that it holds.
        if (end !== -1) passed.push(endingBytes);
      }
      lineBytes = end === -1 ? lineBytes + to - from : 0;
    }
    return passed;
  };

  return {
    pass(chunk) {
      if (isDropping || lineBytes + chunk.length > LONGEST_LINE_BYTES) return passLineByLine(chunk);
      // Too short to hold an overlong line: the everyday case goes on in one piece.
      const lastEnd = chunk.lastIndexOf(lastByte);
      lineBytes = lastEnd === -1 ? lineBytes + chunk.length : chunk.length - lastEnd - 1;
      return [chunk];
    },
  };
}
