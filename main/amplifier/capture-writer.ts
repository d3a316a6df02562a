import { open, type FileHandle } from 'node:fs/promises';
import {
  encodeCaptureHeader,
  encodeCaptureRecord,
  type CaptureHeader,
} from '../../shared-lib/amplifier/capture-format.ts';

const FLUSH_INTERVAL_MS = 1000;
const LARGEST_FILE_BYTES = 2 * 1024 ** 3;
/** A disk that falls this far behind will not catch up, and what waits for it is memory of the process that reads. */
const MOST_WAITING_BYTES = 16 * 1024 * 1024;

export interface CaptureProgress {
  readonly bytes: number;
  /** Why it ended without being asked to, a sentence for the user. */
  readonly error: string | null;
  readonly isEnded: boolean;
}

export interface CaptureWriter {
  add(bytes: Uint8Array, arrivalUs: number): void;
  /** Resolves once all is in the file and `onProgress` has been told of its end. */
  stop(): Promise<void>;
}

/** A new file; never one that is there. Errors: those of the system. */
export function openCaptureFile(filePath: string): Promise<FileHandle> {
  return open(filePath, 'wx', 0o600);
}

/**
 * Writes a capture, once a second, and never holds up whoever reads: what cannot be written ends it. Closes the file.
 *
 * Resolves once the header is written, or could not be: errors end up in `onProgress` only.
 */
export async function startCaptureWriter(
  file: Pick<FileHandle, 'appendFile' | 'datasync' | 'close'>,
  header: CaptureHeader,
  startUs: number,
  onProgress: (progress: CaptureProgress) => void,
  largestFileBytes = LARGEST_FILE_BYTES,
): Promise<CaptureWriter> {
  const headerImage = encodeCaptureHeader(header);
  let waiting: Uint8Array[] = [headerImage];
  let acceptedBytes = headerImage.length;
  let writtenBytes = 0;
  let lastUs = startUs;
  let isWriting = false;
  let ending: Promise<void> | null = null;

  const write = async (): Promise<void> => {
    const image = Buffer.concat(waiting);
    waiting = [];
    await file.appendFile(image);
    await file.datasync();
    writtenBytes += image.length;
  };

  const end = (reason: string | null): Promise<void> => {
    clearInterval(timer);
    ending ??= (async () => {
      let error = reason;
      try {
        await underWay;
        await write();
      } catch (cause) {
        error ??= explainFailure(cause);
      }
      await file.close().catch((cause: unknown) => (error ??= explainFailure(cause)));
      onProgress({ bytes: writtenBytes, error, isEnded: true });
    })();
    return ending;
  };

  const writeInTurn = async (): Promise<void> => {
    isWriting = true;
    try {
      await write();
      if (!ending) onProgress({ bytes: writtenBytes, error: null, isEnded: false });
    } catch (cause) {
      waiting = [];
      void end(explainFailure(cause));
    } finally {
      isWriting = false;
    }
  };

  let underWay = Promise.resolve();
  const timer = setInterval(() => {
    if (!isWriting) underWay = writeInTurn();
  }, FLUSH_INTERVAL_MS);
  underWay = writeInTurn();
  await underWay;

  return {
    add(bytes, arrivalUs) {
      if (ending) return;
      const record = encodeCaptureRecord({ sinceLastUs: Math.max(0, arrivalUs - lastUs), bytes });
      if (acceptedBytes + record.length > largestFileBytes) {
        void end(
          'The capture reached its largest size and was ended. The file is whole. Start another one if you need more.',
        );
        return;
      }
      if (acceptedBytes - writtenBytes + record.length > MOST_WAITING_BYTES) {
        void end(
          'The disk is too slow for the capture, which was ended. The file holds what came before. Reading went on.',
        );
        return;
      }
      lastUs = Math.max(lastUs, arrivalUs);
      waiting.push(record);
      acceptedBytes += record.length;
    },
    stop: () => end(null),
  };
}

/** Also for a file that could not be made. */
export function explainFailure(cause: unknown): string {
  const why = cause instanceof Error ? cause.message : String(cause);
  return `The capture could not be written (${why}) and was ended. Reading goes on. Make room on the disk, or see to the data folder, then start it again.`;
}
