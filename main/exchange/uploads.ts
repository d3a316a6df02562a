import { randomUUID } from 'node:crypto';
import { mkdirSync, rmSync, statSync } from 'node:fs';
import { open } from 'node:fs/promises';
import { isAbsolute, join } from 'node:path';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Source } from '../../shared-lib/exchange/exchange-requests.ts';
import type { Platform } from '../platform/platform.ts';
import type { RequestHandlers } from '../services.ts';
import { translateFolderError } from '../storage/storage-errors.ts';

interface Upload {
  readonly fileName: string;
  readonly filePath: string;
  readonly bytes: number;
  /** How much has come. */
  offset: number;
  isBeingWritten: boolean;
}

export interface Uploads {
  readonly handlers: Pick<RequestHandlers, 'beginUpload' | 'appendUpload' | 'dropUpload'>;
  /**
   * Where a source lies, and what its file is called.
   *
   * Errors: AppError 'upload-not-found' where it has not come whole, or no such file is on this machine.
   */
  fileOf(source: Source): { readonly path: string; readonly fileName: string };
  /** Removes what was handed over; a file that lies on this machine stays. */
  drop(source: Source): void;
  close(): void;
}

/** Files that windows hand over in pieces. They lie in a folder of their own, which is emptied at every start. */
export function createUploads({ dataFolder }: Pick<Platform, 'dataFolder'>): Uploads {
  const folder = join(dataFolder, 'incoming');
  const uploads = new Map<string, Upload>();
  rmSync(folder, { recursive: true, force: true });

  const uploadOf = (uploadId: string): Upload => {
    const upload = uploads.get(uploadId);
    if (upload) return upload;
    throw new AppError(
      'upload-not-found',
      'That file is not here any more; a start of the program drops what was not taken in. Choose the file again.',
    );
  };
  const forget = (uploadId: string): void => {
    const upload = uploads.get(uploadId);
    uploads.delete(uploadId);
    if (upload) rmSync(upload.filePath, { force: true });
  };

  return {
    handlers: {
      beginUpload({ fileName, bytes }) {
        const uploadId = randomUUID();
        const filePath = join(folder, uploadId);
        mkdirSync(folder, { recursive: true, mode: 0o700 });
        uploads.set(uploadId, { fileName, filePath, bytes, offset: 0, isBeingWritten: false });
        return { uploadId };
      },
      async appendUpload({ uploadId, offset, bytes }) {
        const upload = uploadOf(uploadId);
        const { filePath } = upload;
        if (offset !== upload.offset || upload.isBeingWritten || offset + bytes.length > upload.bytes) {
          throw new AppError(
            'invalid-request',
            `A piece of ${upload.fileName} came out of order. Nothing was taken in; choose the file again.`,
            { offset, expectedOffset: upload.offset },
          );
        }
        upload.isBeingWritten = true;
        try {
          const file = await open(filePath, offset === 0 ? 'w' : 'r+');
          try {
            await file.write(bytes, 0, bytes.length, offset);
          } finally {
            await file.close();
          }
          upload.offset += bytes.length;
        } catch (error) {
          forget(uploadId);
          throw translateFolderError(error, folder);
        } finally {
          upload.isBeingWritten = false;
        }
        return {};
      },
      dropUpload({ uploadId }) {
        forget(uploadId);
        return {};
      },
    },
    fileOf(source) {
      if (source.from === 'path') return { path: source.path, fileName: requireFile(source.path) };
      const upload = uploadOf(source.uploadId);
      if (upload.offset < upload.bytes) {
        throw new AppError(
          'upload-not-found',
          `Of ${upload.fileName} only ${upload.offset} of ${upload.bytes} bytes have come. Choose the file again.`,
        );
      }
      return { path: upload.filePath, fileName: upload.fileName };
    },
    drop(source) {
      if (source.from === 'upload') forget(source.uploadId);
    },
    close() {
      for (const uploadId of [...uploads.keys()]) forget(uploadId);
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** The name of a file on this machine. */
function requireFile(path: string): string {
  if (isAbsolute(path) && statSync(path, { throwIfNoEntry: false })?.isFile() === true) {
    return path.split(/[/\\]/).at(-1) ?? path;
  }
  throw new AppError(
    'upload-not-found',
    `There is no file ${path} on this machine. Give its whole path, from the root of the disk on.`,
    { path },
  );
}
