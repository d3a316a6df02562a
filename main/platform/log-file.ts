import { appendFileSync, renameSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { createLogger, type Logger } from './logger.ts';

/** Some 20 000 lines: weeks of ordinary use. */
const largestLogBytes = 5 * 1024 * 1024;

/** Appends to proofarm.log in the data folder; a log that has grown large becomes proofarm.1.log at the next start. */
export function openLogFile(dataFolder: string): Logger {
  const file = join(dataFolder, 'proofarm.log');
  const size = statSync(file, { throwIfNoEntry: false })?.size ?? 0;
  if (size > largestLogBytes) renameSync(file, join(dataFolder, 'proofarm.1.log'));
  return createLogger((line) => {
    try {
      // Few lines, and each must be there after a crash: so no buffer.
      appendFileSync(file, `${line}\n`, { mode: 0o600 });
    } catch (error) {
      // A full disk must not stop a trial because of its log.
      process.stderr.write(`${line}\n(not in the log file: ${String(error)})\n`);
    }
  });
}
