import { utilityProcess } from 'electron';
import type { ReaderReport } from '../../amplifier/reader-protocol.ts';
import type { ReaderHandle } from '../../platform/platform.ts';

/** Starts the reader as one of Electron's utility processes. */
export function startUtilityReader(entryFile: string): ReaderHandle {
  const child = utilityProcess.fork(entryFile, [], { serviceName: 'Amplifier reader', stdio: 'inherit' });
  let hasEnded = false;
  child.on('exit', () => {
    hasEnded = true;
  });
  return {
    send(command) {
      if (!hasEnded) child.postMessage(command);
    },
    onReport(listener) {
      const pass = (report: unknown): void => {
        listener(report as ReaderReport);
      };
      child.on('message', pass);
      return () => child.off('message', pass);
    },
    onExit(listener) {
      child.once('exit', listener);
      return () => child.off('exit', listener);
    },
    kill() {
      child.kill();
    },
  };
}
