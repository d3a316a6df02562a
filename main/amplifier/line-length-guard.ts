import { Transform, type TransformCallback } from 'node:stream';

/** No amplifier line is near this long; a parser that collects an endless line blocks for seconds. */
export const LONGEST_LINE_BYTES = 4096;

/**
 * Passes bytes on, except for a line that grows beyond 4 KB without an end: the rest of it is dropped up to the next line
 * end and `onOverlong` is told once, with some of its text. The beginning that was passed on reaches the parser as a line
 * of its own, which no profile can read.
 */
export class LineLengthGuard extends Transform {
  readonly #lineEnding: Buffer;
  readonly #lastByte: number;
  readonly #onOverlong: (text: string) => void;
  #lineBytes = 0;
  #isDropping = false;

  constructor(lineEnding: string, onOverlong: (text: string) => void) {
    super();
    this.#lineEnding = Buffer.from(lineEnding, 'latin1');
    this.#lastByte = lineEnding.charCodeAt(lineEnding.length - 1);
    this.#onOverlong = onOverlong;
  }

  override _transform(chunk: Buffer, _encoding: BufferEncoding, done: TransformCallback): void {
    if (!this.#isDropping && this.#lineBytes + chunk.length <= LONGEST_LINE_BYTES) {
      // Too short to hold an overlong line: the everyday case goes on in one piece.
      const lastEnd = chunk.lastIndexOf(this.#lastByte);
      this.#lineBytes = lastEnd === -1 ? this.#lineBytes + chunk.length : chunk.length - lastEnd - 1;
      this.push(chunk);
    } else {
      for (let from = 0; from < chunk.length;) from = this.#passLine(chunk, from);
    }
    done();
  }

  /** Passes or drops up to the next line end; returns where the next line begins. */
  #passLine(chunk: Buffer, from: number): number {
    const end = chunk.indexOf(this.#lastByte, from);
    const to = end === -1 ? chunk.length : end + 1;
    if (!this.#isDropping && this.#lineBytes + to - from <= LONGEST_LINE_BYTES) {
      this.push(chunk.subarray(from, to));
    } else {
      if (!this.#isDropping) this.#onOverlong(chunk.toString('latin1', from, Math.min(to, from + 100)));
      this.#isDropping = end === -1;
      // The parser needs a line end to let go of the beginning that it holds.
      if (end !== -1) this.push(this.#lineEnding);
    }
    this.#lineBytes = end === -1 ? this.#lineBytes + to - from : 0;
    return to;
  }
}
