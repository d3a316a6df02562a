import { Worker } from 'node:worker_threads';
import type { WorkThread } from '../platform/platform.ts';
import { CANCEL, type WorkReport, type WorkRequest } from '../work/work-protocol.ts';

/** Starts a thread for one piece of work, which is the same under Node and in Electron's main process. */
export function startWorkThread(entryFile: string, request: WorkRequest): WorkThread {
  // Options of this process, an inspector's port or a test runner's loader, are not the thread's.
  const worker = new Worker(entryFile, { workerData: request, execArgv: [] });
  let cause: unknown = null;
  worker.on('error', (error) => {
    cause = error;
  });
  return {
    cancel() {
      worker.postMessage(CANCEL);
    },
    onReport(listener) {
      worker.on('message', (report) => {
        listener(report as WorkReport);
      });
    },
    onExit(listener) {
      worker.once('exit', () => {
        listener(cause);
      });
    },
    async kill() {
      await worker.terminate();
    },
  };
}
