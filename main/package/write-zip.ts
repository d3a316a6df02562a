import { createWriteStream, fsyncSync, openSync, closeSync, renameSync, rmSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { finished } from 'node:stream/promises';
import yazl from 'yazl';
import { AppError } from '../../shared-lib/app-error.ts';
import { translateFolderError } from '../storage/storage-errors.ts';
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

/**
 * Writes files into a ZIP, one after another, under `targetFile` with `.part` behind it, and renames it when it is whole and on the disk.
 *
 * Nothing is left of it otherwise. Errors: those of the pieces; AppError 'disk-full', 'data-folder-unusable'.
 */
export async function writeZip(targetFile: string, files: readonly FileToPack[]): Promise<number> {
  const partFile = `${targetFile}.part`;
  if (statSync(targetFile, { throwIfNoEntry: false })) throw new Error(`${targetFile} is there already`);
  try {
    await writeFiles(partFile, files);
    const file = openSync(partFile, 'r+');
    try {
      fsyncSync(file);
    } finally {
      closeSync(file);
    }
    const { size } = statSync(partFile);
    renameSync(partFile, targetFile);
    return size;
  } catch (error) {
    rmSync(partFile, { force: true });
    throw error instanceof AppError ? error : translateFolderError(error, dirname(targetFile));
  }
}

async function writeFiles(partFile: string, files: readonly FileToPack[]): Promise<void> {
  const zip = new yazl.ZipFile();
  const target = createWriteStream(partFile, { mode: 0o600 });
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
}
