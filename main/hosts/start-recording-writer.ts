import { Worker } from 'node:worker_threads';
import type { RecordingWriterThread } from '../platform/platform.ts';
import type { WriterReply } from '../storage/recording-protocol.ts';

/** Starts the writer thread, which is the same under Node and in Electron's main process. */
export function startRecordingWriter(entryFile: string, databasePath: string): RecordingWriterThread {
  // Options of this process, an inspector's port or a test runner's loader, are not the thread's.
  const worker = new Worker(entryFile, { workerData: { databasePath }, execArgv: [] });
  let cause: unknown = null;
  worker.on('error', (error) => {
    cause = error;
  });
  return {
    send(request, transferred) {
      worker.postMessage(request, transferred);
    },
    onReply(listener) {
      worker.on('message', (reply) => {
        listener(reply as WriterReply);
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
