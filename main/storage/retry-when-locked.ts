import { setTimeout as pause } from 'node:timers/promises';
import { AppError } from '../../shared-lib/app-error.ts';

/**
 * How long main itself waits for the database: no longer than a person notices, since samples, status and the stop cue
 * wait with it. The writer thread holds the lock as long as the disk needs for a commit, a stalled one for seconds.
 */
export const MAIN_BUSY_TIMEOUT_MS = 50;
const PAUSE_MS = 50;
const PATIENCE_MS = 5000;

/**
 * Does the work at once where it can be done, and otherwise again until the database is free, while main goes on.
 *
 * `work` is begun anew each time, so its writing comes before all its other effects.
 * Errors: those of the work; 'database-locked' only after five seconds of trying.
 */
export function retryWhenLocked<Result>(work: () => Result | Promise<Result>): Result | Promise<Result> {
  try {
    const result = work();
    if (!(result instanceof Promise)) return result;
    return result.catch((error: unknown) => retryAfter(work, error));
  } catch (error) {
    if (!isLocked(error)) throw error;
    return retryAfter(work, error);
  }
}

async function retryAfter<Result>(
  work: () => Result | Promise<Result>,
  firstError: unknown,
): Promise<Result> {
  let error = firstError;
  for (let waitedMs = 0; isLocked(error) && waitedMs < PATIENCE_MS; waitedMs += PAUSE_MS) {
    await pause(PAUSE_MS);
    try {
      return await work();
    } catch (nextError) {
      error = nextError;
    }
  }
  throw error;
}

function isLocked(error: unknown): boolean {
  return error instanceof AppError && error.code === 'database-locked';
}
