import { isUnderWay, type TrialPhase } from '../../shared-lib/trial/trial-state.ts';
import type { Logger } from '../platform/logger.ts';
import type { RecordingResults } from '../storage/recording-commands.ts';
import type { RecordingWriter } from './recording-writer.ts';

export interface Packer {
  wake(): void;
  close(): void;
}

const PAUSE_MS = 20;
const BUSY_PAUSE_MS = 1000;
/** Has the rows of ended trials packed in the background, one step at a time, so that recording never waits for long. */
export function createPacker(writer: RecordingWriter, log: Logger, phase: () => TrialPhase): Packer {
  let timer: NodeJS.Timeout | null = null;
  let isStepping = false;
  let isClosed = false;
  /** A trial that cannot be packed stays as it was written, which is whole, and does not hold up the others. */
  const unpackable = new Set<string>();

  const step = (): void => {
    timer = null;
    if (isClosed || isStepping) return;
    // While a trial is on, nothing competes with writing it.
    if (isUnderWay(phase())) {
      schedule(BUSY_PAUSE_MS);
      return;
    }
    isStepping = true;
    void writer.perform<'packNext'>({ type: 'packNext', except: [...unpackable] }).then(
      (packed) => {
        isStepping = false;
        goOn(packed);
      },
      (cause: unknown) => {
        isStepping = false;
        // Without a list there is nothing to go on with; the next trial that ends wakes the packer again.
        if (!isClosed) log.warn('Trials could not be packed', { code: 'storage-failed', cause });
      },
    );
  };
  const goOn = (packed: RecordingResults['packNext']): void => {
    if (!packed) return;
    if (packed.problem !== null) {
      unpackable.add(packed.trialId);
      log.warn('A trial could not be packed', { code: 'storage-failed', cause: packed.problem });
    }
    schedule(PAUSE_MS);
  };
  const schedule = (delayMs: number): void => {
    if (!isClosed) timer ??= setTimeout(step, delayMs);
  };

  return {
    wake() {
      schedule(PAUSE_MS);
    },
    close() {
      isClosed = true;
      if (timer) clearTimeout(timer);
    },
  };
}
