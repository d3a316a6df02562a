import { basename } from 'node:path';
import type { CaptureHeader } from '../../shared-lib/amplifier/capture-format.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { AmplifierStatus } from '../../shared-lib/bench-status.ts';
import type { ReaderCommand, ReaderReport } from './reader-protocol.ts';

type CaptureChanged = Extract<ReaderReport, { type: 'captureChanged' }>;

export interface CaptureFollower {
  /** Resolves once the file is there. Errors: AppError 'invalid-state', 'storage-failed'. */
  start(filePath: string, header: CaptureHeader): Promise<void>;
  /** Resolves with the length of the file once everything is in it. Errors: as `start`. */
  stop(): Promise<number>;
  changed(report: CaptureChanged): void;
  /** Resolves once no capture is being written. */
  ended(): Promise<void>;
  /** The process that wrote it has ended. */
  lost(): void;
  status(): AmplifierStatus['capture'];
  /** Why the last capture ended without being asked to; null: it did not. */
  problem(): AmplifierStatus['captureProblem'];
}

interface Waiting<Answer> {
  resolve(answer: Answer): void;
  reject(error: Error): void;
}

/** What main knows of the capture that the reader writes. */
export function createCaptureFollower(send: (command: ReaderCommand) => void): CaptureFollower {
  let capture: AmplifierStatus['capture'] = null;
  let problem: AmplifierStatus['captureProblem'] = null;
  let starting: Waiting<void> | null = null;
  let stopping: Waiting<number> | null = null;
  const endWaiters: (() => void)[] = [];

  const end = (bytes: number, sentence: string | null): void => {
    if (sentence === null) {
      stopping?.resolve(bytes);
    } else {
      const failed = new AppError('storage-failed', sentence, { fileName: capture?.fileName ?? null });
      if (starting) starting.reject(failed);
      else if (stopping) stopping.reject(failed);
      else problem = { code: failed.code, sentence };
    }
    capture = null;
    starting = null;
    stopping = null;
    for (const release of endWaiters.splice(0)) release();
  };

  return {
    start(filePath, header) {
      if (capture) {
        throw new AppError('invalid-state', 'A capture is being written already. Stop it first.');
      }
      capture = { fileName: basename(filePath), bytes: 0, startedAt: header.startedAt };
      problem = null;
      const started = new Promise<void>((resolve, reject) => {
        starting = { resolve, reject };
      });
      send({ type: 'startCapture', filePath, header });
      return started;
    },
    stop() {
      if (!capture || starting || stopping) {
        throw new AppError('invalid-state', 'No capture is being written, so there is none to stop.');
      }
      const stopped = new Promise<number>((resolve, reject) => {
        stopping = { resolve, reject };
      });
      send({ type: 'stopCapture' });
      return stopped;
    },
    changed({ bytes, error, isEnded }) {
      if (!capture) return;
      capture = { ...capture, bytes };
      if (isEnded) {
        end(bytes, error);
        return;
      }
      starting?.resolve();
      starting = null;
    },
    ended: () => (capture ? new Promise((resolve) => endWaiters.push(resolve)) : Promise.resolve()),
    lost() {
      if (!capture) return;
      end(
        capture.bytes,
        'The process that wrote the capture ended. The file holds what came up to a second before. Start the capture again.',
      );
    },
    status: () => capture,
    problem: () => problem,
  };
}
