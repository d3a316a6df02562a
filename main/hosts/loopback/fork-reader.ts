import { fork } from 'node:child_process';
import type { ReaderReport } from '../../amplifier/reader-protocol.ts';
import type { Logger } from '../../platform/logger.ts';
import type { ReaderHandle } from '../../platform/platform.ts';

/** Starts the reader under Node. Advanced serialization is structured clone, which typed arrays need. */
export function forkReader(entryFile: string, log: Logger): ReaderHandle {
  const child = fork(entryFile, [], {
    serialization: 'advanced',
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  });
  const exitListeners = new Set<(exitCode: number | null) => void>();
  let hasEnded = false;
  const end = (exitCode: number | null): void => {
    if (hasEnded) return;
    hasEnded = true;
    for (const listener of exitListeners) listener(exitCode);
  };
  child.on('exit', end);
  // Also where the process could not be started at all, in which case no 'exit' follows.
  child.on('error', (error) => {
    log.error('the reader process failed', { cause: error });
    if (child.pid === undefined) end(null);
  });
  return {
    send(command) {
      if (child.connected) child.send(command);
    },
    onReport(listener) {
      const pass = (report: unknown): void => {
        listener(report as ReaderReport);
      };
      child.on('message', pass);
      return () => child.off('message', pass);
    },
    onExit(listener) {
      exitListeners.add(listener);
      return () => exitListeners.delete(listener);
    },
    kill() {
      // It keeps nothing, and the system closes its port; a hung driver would not answer a gentler signal.
      child.kill('SIGKILL');
    },
  };
}
