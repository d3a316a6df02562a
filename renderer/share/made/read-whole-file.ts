import type { Connection } from '../../../shared-lib/api-contract.ts';
import { AppError } from '../../../shared-lib/app-error.ts';

/** What the contract hands out at a time. */
const PIECE_BYTES = 4 * 1024 * 1024;

/**
 * A published file, piece by piece. `onProgress` is told the share that has come, 0 to 1.
 *
 * Errors: those of `readPublished`; AppError 'invalid-state' where the file changes meanwhile; 'cancelled'.
 */
export async function readWholeFile(
  connection: Connection,
  fileName: string,
  { onProgress, isCancelled }: { onProgress: (fraction: number) => void; isCancelled: () => boolean },
): Promise<Blob> {
  const pieces: BlobPart[] = [];
  let offset = 0;
  let expected: number | null = null;
  for (;;) {
    const { bytes, totalBytes } = await connection.request('readPublished', {
      fileName,
      offset,
      length: PIECE_BYTES,
    });
    if (isCancelled()) throw new AppError('cancelled', 'It was cancelled; nothing was saved.');
    expected ??= totalBytes;
    offset += bytes.length;
    const isWhole = offset === totalBytes;
    if (totalBytes !== expected || (bytes.length === 0 && !isWhole)) {
      throw new AppError(
        'invalid-state',
        `${fileName} changed while it was read, so nothing was saved. Save it again.`,
        { fileName },
      );
    }
    pieces.push(new Uint8Array(bytes));
    onProgress(totalBytes === 0 ? 1 : offset / totalBytes);
    if (isWhole) return new Blob(pieces);
  }
}
