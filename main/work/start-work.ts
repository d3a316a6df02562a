import { AppError } from '../../shared-lib/app-error.ts';
import type { Platform, WorkThread } from '../platform/platform.ts';
import { fromCarriedError } from '../storage/recording-protocol.ts';
import type { WorkInput, WorkName, WorkResult } from './works.ts';

/** A cancelled work that does not answer is ended all the same. */
const PATIENCE_MS = 2000;

export interface RunningWork<Name extends WorkName> {
  /** Errors: whatever the work was refused with; AppError 'cancelled'. */
  readonly done: Promise<WorkResult<Name>>;
  cancel(): void;
}

/** Does a piece of work in a thread of its own, so that main and recording are not held up by it. */
export function startWork<Name extends WorkName>(
  platform: Pick<Platform, 'startWorkThread'>,
  name: Name,
  input: WorkInput<Name>,
  onProgress: (fraction: number, sentence: string) => void = () => undefined,
): RunningWork<Name> {
  const thread: WorkThread = platform.startWorkThread({ name, input });
  let isCancelled = false;
  let patience: NodeJS.Timeout | undefined;
  const done = new Promise<WorkResult<Name>>((resolve, reject) => {
    thread.onReport((report) => {
      switch (report.kind) {
        case 'progress':
          onProgress(report.fraction, report.sentence);
          return;
        case 'done':
          resolve(report.result as WorkResult<Name>);
          return;
        case 'failed':
          reject(fromCarriedError(report.error));
      }
    });
    thread.onExit((cause) => {
      clearTimeout(patience);
      if (isCancelled) reject(new AppError('cancelled', 'It was cancelled; nothing of it was kept.'));
      else reject(new Error('The thread ended before its work was done', { cause }));
    });
  });
  return {
    done,
    cancel() {
      if (isCancelled) return;
      isCancelled = true;
      thread.cancel();
      patience = setTimeout(() => void thread.kill(), PATIENCE_MS);
    },
  };
}
