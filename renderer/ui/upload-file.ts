import type { Connection } from '../../shared-lib/api-contract.ts';
import { type Source, UPLOAD_PIECE_BYTES } from '../../shared-lib/exchange/exchange-requests.ts';

/** Hands a file over to the services in pieces. Errors: those of the requests; the file is then dropped there. */
export async function uploadFile(
  connection: Connection,
  file: File,
  onProgress: (fraction: number) => void = () => undefined,
): Promise<Source> {
  const { uploadId } = await connection.request('beginUpload', { fileName: file.name, bytes: file.size });
  for (let offset = 0; offset < file.size; offset += UPLOAD_PIECE_BYTES) {
    const piece = await file.slice(offset, offset + UPLOAD_PIECE_BYTES).arrayBuffer();
    await connection.request('appendUpload', { uploadId, offset, bytes: new Uint8Array(piece) });
    onProgress(Math.min(1, (offset + piece.byteLength) / file.size));
  }
  return { from: 'upload', uploadId };
}
