import type { TrialPhase } from '../../shared-lib/trial/trial-state.ts';
import type { Logger } from '../platform/logger.ts';
import type { WritableDatabase } from '../storage/database.ts';
import { listUnpacked, repackNextRun } from '../storage/repack-trial.ts';

export interface Packer {
  wake(): void;
  close(): Promise<void>;
}

const PAUSE_MS = 20;
/** While a run is on, nothing competes with writing it. */
const BUSY_PHASES: readonly TrialPhase[] = ['countdown', 'waiting', 'run', 'tail', 'unloading', 'saving'];

/** Packs the rows of ended trials in the background, one step at a time, so that recording never waits for it. */
export function createPacker(database: WritableDatabase, log: Logger, phase: () => TrialPhase): Packer {
  let timer: NodeJS.Timeout | null = null;
  let isClosed = false;

  const step = (): void => {
    timer = null;
    if (isClosed) return;
    try {
      if (BUSY_PHASES.includes(phase())) {
        schedule(1000);
        return;
      }
      const [trialId] = listUnpacked(database);
      if (trialId === undefined) return;
      repackNextRun(database, trialId);
      schedule(PAUSE_MS);
    } catch (cause) {
      // The rows stay as they were written, which is whole; the next trial or start tries again.
      log.warn('A trial could not be packed', { code: 'storage-failed', cause });
    }
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
      return Promise.resolve();
    },
  };
}
