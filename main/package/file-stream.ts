import { createHash } from 'node:crypto';
import { Readable } from 'node:stream';

/** What became of a file while it was written. */
export interface Written {
  readonly bytes: number;
  readonly sha256: string;
}

/** Pieces as a stream that is read only as fast as it is taken, with length and SHA-256 of all of it at its end. */
export function measuredStream(
  pieces: AsyncIterable<Uint8Array>,
  onEnd: (written: Written) => void,
): Readable {
  return Readable.from(
    (async function* () {
      const hash = createHash('sha256');
      let bytes = 0;
      for await (const piece of pieces) {
        hash.update(piece);
        bytes += piece.length;
        yield piece;
      }
      onEnd({ bytes, sha256: hash.digest('hex') });
    })(),
    { objectMode: false },
  );
}

/** Texts joined to pieces of some 64 KiB. */
export async function* textPieces(
  lines: Iterable<string>,
  pause: () => Promise<void>,
): AsyncGenerator<Buffer> {
  let waiting: string[] = [];
  let length = 0;
  for (const line of lines) {
    waiting.push(line);
    length += line.length;
    if (length < PIECE_LENGTH) continue;
    yield Buffer.from(waiting.join(''));
    waiting = [];
    length = 0;
    await pause();
  }
  if (waiting.length > 0) yield Buffer.from(waiting.join(''));
}

const PIECE_LENGTH = 65_536;
