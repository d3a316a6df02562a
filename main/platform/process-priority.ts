import { setPriority } from 'node:os';

/**
 * Asks for a priority (`os.constants.priority`) for the calling thread, on Windows its process. False where the account may not
 * have it: Windows gives a higher one to everyone, Linux and macOS only to accounts that were granted it.
 */
export function takePriority(priority: number): boolean {
  try {
    setPriority(priority);
    return true;
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ERR_SYSTEM_ERROR') return false;
    throw error;
  }
}
