import type { ReadableDatabase } from '../storage/database.ts';
import { openReadOnly } from '../storage/open-read-only.ts';
import { translateStorageError } from '../storage/storage-errors.ts';

/** Each prepares a dozen statements, whose memory JavaScript does not see and so does not give back in time. */
const READS_PER_CONNECTION = 300;

export interface Reading {
  /** For the next trial or so: not to be kept, since now and then it is another connection. */
  readonly database: () => ReadableDatabase;
}

/** Connections of a work's own, closed when the work has ended. Errors: AppErrors of the database. */
export async function withReadOnlyDatabase<Result>(
  databasePath: string,
  work: (reading: Reading) => Promise<Result>,
): Promise<Result> {
  const connection = countingConnection(databasePath);
  try {
    return await work({ database: connection.next });
  } catch (error) {
    throw translateStorageError(error);
  } finally {
    connection.close();
  }
}

function countingConnection(databasePath: string): {
  readonly next: () => ReadableDatabase;
  readonly close: () => void;
} {
  let current: ReturnType<typeof openReadOnly> | null = null;
  let reads = 0;
  const close = (): void => {
    current?.close();
    current = null;
    reads = 0;
  };
  return {
    close,
    next: () => {
      if (reads >= READS_PER_CONNECTION) close();
      reads += 1;
      current ??= openReadOnly(databasePath);
      return current;
    },
  };
}
