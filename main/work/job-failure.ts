import { randomUUID } from 'node:crypto';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Logger } from '../platform/logger.ts';

/** A bug, in words for a person; what it was stands in the log under a number of its own. */
export function internalFailure(log: Logger, error: unknown): AppError {
  const logId = randomUUID();
  log.error('a job failed', { logId, cause: error });
  return new AppError(
    'internal',
    `Something went wrong inside the program; nothing of it was kept. The log has the details under ${logId}.`,
    { logId },
  );
}
