import { statfs } from 'node:fs/promises';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import type { Logger } from '../platform/logger.ts';

/** Stored bytes per sample while recording, before a trial is packed: raw 32-bit counts and a little for the rows. */
export const LIVE_BYTES_PER_SAMPLE = 4.5;

export interface DiskWatch {
  status(sampleRateHz: number | null): BenchStatus['storage'];
  noteFailure(sentence: string | null): void;
  refresh(): Promise<void>;
}

export function createDiskWatch(folder: string, log: Logger): DiskWatch {
  let freeBytes = 0;
  let failure: string | null = null;
  return {
    status: (sampleRateHz) => ({
      state: failure === null ? 'ok' : 'failing',
      sentence: failure,
      freeBytes,
      hoursLeft: sampleRateHz === null ? null : freeBytes / (sampleRateHz * LIVE_BYTES_PER_SAMPLE * 3600),
    }),
    noteFailure(sentence) {
      failure = sentence;
    },
    async refresh() {
      try {
        const disk = await statfs(folder);
        freeBytes = disk.bavail * disk.bsize;
      } catch (cause) {
        log.warn('The free space of the disk could not be read', { path: folder, cause });
      }
    },
  };
}
