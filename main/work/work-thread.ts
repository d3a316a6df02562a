import { parentPort, workerData } from 'node:worker_threads';
import { AppError } from '../../shared-lib/app-error.ts';
import { toCarriedError } from '../storage/recording-protocol.ts';
import { CANCEL, type WorkReport, type WorkRequest } from './work-protocol.ts';
import type { WorkTools } from './work-tools.ts';
import { loadWork } from './works.ts';

/** The entry of a thread that does one piece of work. No serialport here, see DEVELOPERS.md. */
const PROGRESS_INTERVAL_MS = 100;

const port = parentPort;
if (!port) throw new Error('This file is started as a worker thread');
const request = workerData as WorkRequest;
const report = (message: WorkReport): void => {
  port.postMessage(message);
};

let isCancelled = false;
port.on('message', (message) => {
  isCancelled ||= message === CANCEL;
});

let toldAtMs = Number.NEGATIVE_INFINITY;
const tools: WorkTools = {
  progress(fraction, sentence) {
    const nowMs = performance.now();
    if (nowMs - toldAtMs < PROGRESS_INTERVAL_MS) return;
    toldAtMs = nowMs;
    report({ kind: 'progress', fraction, sentence });
  },
  async pause() {
    await new Promise((resolve) => {
      setImmediate(resolve);
    });
    if (isCancelled) throw new AppError('cancelled', 'It was cancelled; nothing of it was kept.');
  },
};

try {
  const work = await loadWork(request.name);
  // The name and its input were put together by `startWork`, a tie that TypeScript cannot express for a union.
  const result = await work(request.input as never, tools);
  report({ kind: 'done', result: result as never });
} catch (error) {
  report({ kind: 'failed', error: toCarriedError(error) });
}
port.close();
