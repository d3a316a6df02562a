import { isUnderWay, type TrialPhase } from '../../shared-lib/trial/trial-state.ts';
import type { Logger } from '../platform/logger.ts';
import type { WritableDatabase } from '../storage/database.ts';
import { listUnpacked, repackNextRun } from '../storage/repack-trial.ts';

export interface Packer {
  wake(): void;
  close(): void;
}

const PAUSE_MS = 20;
const BUSY_PAUSE_MS = 1000;
/** Packs the rows of ended trials in the background, one step at a time, so that recording never waits for it. */
export function createPacker(database: WritableDatabase, log: Logger, phase: () => TrialPhase): Packer {
  let timer: NodeJS.Timeout | null = null;
  let isClosed = false;
  /** A trial that cannot be packed stays as it was written, which is whole, and does not hold up the others. */
  const unpackable = new Set<string>();

  const step = (): void => {
    timer = null;
    if (isClosed) return;
    // While a trial is on, nothing competes with writing it.
    if (isUnderWay(phase())) {
      schedule(BUSY_PAUSE_MS);
      return;
    }
    let trialId: string | undefined;
    try {
      trialId = listUnpacked(database).find((id) => !unpackable.has(id));
      if (trialId === undefined) return;
      repackNextRun(database, trialId);
    } catch (cause) {
      log.warn('A trial could not be packed', { code: 'storage-failed', cause });
      // Without a list there is nothing to go on with; the next trial that ends wakes the packer again.
      if (trialId === undefined) return;
      unpackable.add(trialId);
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
