import type { Connection } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { type Source, UPLOAD_PIECE_BYTES } from '../../shared-lib/exchange/exchange-requests.ts';

interface UploadOptions {
  /** Told the share that has gone over, 0 to 1. */
  readonly onProgress: (fraction: number) => void;
  readonly isCancelled: () => boolean;
}

/** Hands a file over to the services in pieces. Errors: those of the requests; AppError 'cancelled'. The file is then dropped there. */
export async function uploadFile(
  connection: Connection,
  file: File,
  { onProgress, isCancelled }: UploadOptions,
): Promise<Source> {
  const { uploadId } = await connection.request('beginUpload', { fileName: file.name, bytes: file.size });
  const source: Source = { from: 'upload', uploadId };
  const refuseCancelled = (): void => {
    if (isCancelled()) throw new AppError('cancelled', 'It was cancelled; nothing was handed over.');
  };
  try {
    for (let offset = 0; offset < file.size; offset += UPLOAD_PIECE_BYTES) {
      refuseCancelled();
      const piece = await file.slice(offset, offset + UPLOAD_PIECE_BYTES).arrayBuffer();
      await connection.request('appendUpload', { uploadId, offset, bytes: new Uint8Array(piece) });
      onProgress(Math.min(1, (offset + piece.byteLength) / file.size));
    }
    refuseCancelled();
  } catch (error) {
    await dropUploaded(connection, source);
    throw error;
  }
  return source;
}

/** Has the services drop what was handed over to them; a file that lies on their machine stays. */
export async function dropUploaded(connection: Connection, source: Source): Promise<void> {
  if (source.from !== 'upload') return;
  try {
    await connection.request('dropUpload', { uploadId: source.uploadId });
  } catch (error) {
    // No page waits for it, and the next start of the program drops what is left.
    if (!(error instanceof AppError)) throw error;
  }
}
