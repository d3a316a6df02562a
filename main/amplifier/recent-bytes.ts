import type { AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { encodeCaptureHeader, encodeCaptureRecord } from '../../shared-lib/amplifier/capture-format.ts';

const LONGEST_US = 60_000_000;
const MOST_BYTES = 16 * 1024 * 1024;
/** Old chunks are taken out of the list in one go, once so many have gathered. */
const CLEAR_OUT_AT = 1024;

export interface RecentBytes {
  /** Another port was opened; what came from the one before is forgotten. */
  restart(path: string, profile: AmplifierProfile): void;
  add(bytes: Uint8Array, arrivalUs: number): void;
  /** Lets go of everything, for want of memory. */
  clear(): void;
  /** A capture file; null where no port has been opened yet. */
  takeCapture(now: Date, nowUs: number): Uint8Array | null;
}

/** The bytes of the last minute, at most 16 MiB of them, for whoever looks into what went wrong. */
export function createRecentBytes(): RecentBytes {
  let port: { path: string; profile: AmplifierProfile } | null = null;
  let chunks: { bytes: Uint8Array; arrivalUs: number }[] = [];
  let first = 0;
  let total = 0;

  const clear = (): void => {
    chunks = [];
    first = 0;
    total = 0;
  };

  const dropOld = (nowUs: number): void => {
    for (let oldest = chunks[first]; oldest; oldest = chunks[first]) {
      if (total <= MOST_BYTES && nowUs - oldest.arrivalUs <= LONGEST_US) break;
      total -= oldest.bytes.length;
      first += 1;
    }
    if (first < CLEAR_OUT_AT) return;
    chunks = chunks.slice(first);
    first = 0;
  };

  return {
    restart(path, profile) {
      port = { path, profile };
      clear();
    },
    add(bytes, arrivalUs) {
      chunks.push({ bytes, arrivalUs });
      total += bytes.length;
      dropOld(arrivalUs);
    },
    clear,
    takeCapture(now, nowUs) {
      if (!port) return null;
      const kept = chunks.slice(first);
      const startUs = kept[0]?.arrivalUs ?? nowUs;
      const startedAt = new Date(now.getTime() - (nowUs - startUs) / 1000).toISOString();
      let lastUs = startUs;
      const pieces = [
        encodeCaptureHeader({ format: 'serial-capture', version: 1, startedAt, ...port }),
        ...kept.map(({ bytes, arrivalUs }) => {
          const sinceLastUs = arrivalUs - lastUs;
          lastUs = arrivalUs;
          return encodeCaptureRecord({ sinceLastUs, bytes });
        }),
      ];
      return new Uint8Array(Buffer.concat(pieces));
    },
  };
}
