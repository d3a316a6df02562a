import { createWriteStream, statSync } from 'node:fs';
import { finished } from 'node:stream/promises';
import yazl from 'yazl';
import { measuredStream, type Written } from './file-stream.ts';

export interface FileToPack {
  readonly path: string;
  /** Called when its turn has come. */
  readonly pieces: () => AsyncIterable<Uint8Array>;
  readonly onWritten: (written: Written) => void;
}

/** The ZIP format knows no earlier time; the same for all, so that the same content gives the same file. */
const ZIP_TIME = new Date(1980, 0, 1);
/** Digits gain little from more effort, and it would take three times as long. */
const COMPRESSION_LEVEL = 4;

/** Writes files into a new ZIP, one after another; it is on the disk when this is done. Returns its bytes. Errors: those of the pieces. */
export async function writeZip(path: string, files: readonly FileToPack[]): Promise<number> {
  const zip = new yazl.ZipFile();
  const target = createWriteStream(path, { flags: 'wx', mode: 0o600, flush: true });
  const failed = new Promise<never>((_, reject) => {
    // What goes wrong with a source is told by the archive, which then never ends.
    zip.on('error', reject);
  });
  for (const { path, pieces, onWritten } of files) {
    zip.addReadStreamLazy(
      path,
      { mtime: ZIP_TIME, forceDosTimestamp: true, mode: 0o100644, compressionLevel: COMPRESSION_LEVEL },
      (take) => {
        const source = measuredStream(pieces(), onWritten);
        source.on('error', (error) => zip.emit('error', error));
        take(null, source);
      },
    );
  }
  zip.end();
  zip.outputStream.pipe(target);
  try {
    await Promise.race([finished(target), failed]);
  } catch (error) {
    target.destroy();
    throw error;
  }
  return statSync(path).size;
}
