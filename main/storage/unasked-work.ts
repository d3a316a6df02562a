import { AppError } from '../../shared-lib/app-error.ts';
import type { Logger } from '../platform/logger.ts';
import type { ReadableDatabase } from './database.ts';
import { retryWhenLocked } from './retry-when-locked.ts';

export type UnaskedWork = (whatFailed: string, work: () => void) => void;

/** For work that nobody asked for: a disk that fails for a moment must not end the program, least of all in a run. */
export function createUnaskedWork(database: ReadableDatabase, log: Logger): UnaskedWork {
  return (whatFailed, work) => {
    const told = (cause: unknown): void => {
      // Tried once more after the database was closed: the program has ended meanwhile.
      if (!(cause instanceof AppError) && database.open) throw cause;
      log.error(whatFailed, { code: cause instanceof AppError ? cause.code : 'storage-failed', cause });
    };
    try {
      void Promise.resolve(retryWhenLocked(work)).catch(told);
    } catch (cause) {
      told(cause);
    }
  };
}
