import type { AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { encodeCaptureHeader, encodeCaptureRecord } from '../../shared-lib/amplifier/capture-format.ts';

const LONGEST_US = 60_000_000;
const MOST_BYTES = 16 * 1024 * 1024;
const PAGE_BYTES = 64 * 1024;
/** As many as 64 bytes each fill. Of smaller ones all pages hold 262 144, a minute of 4 369 a second. */
const PAGE_CHUNKS = 1024;

/** Chunks one after the other: each ends at its `ends` of the bytes, and came at its `arrivalUs`. */
interface Page {
  readonly bytes: Uint8Array;
  readonly ends: Uint32Array;
  readonly arrivalUs: Float64Array;
  chunks: number;
  used: number;
}

export interface RecentBytes {
  /** Another port was opened; what came from the one before is forgotten. */
  restart(path: string, profile: AmplifierProfile): void;
  add(bytes: Uint8Array, arrivalUs: number): void;
  /** Lets go of everything, for want of memory. */
  clear(): void;
  /** A capture file; null where no port has been opened yet. */
  takeCapture(now: Date, nowUs: number): Uint8Array | null;
}

/**
 * The bytes of the last minute, at most 16 MiB of them, for whoever looks into what went wrong.
 *
 * Copied into pages that are used again: kept as they come, chunks would be as many objects that outlive the collections of
 * garbage, and make the reader wait longer for each.
 */
export function createRecentBytes(): RecentBytes {
  let port: { path: string; profile: AmplifierProfile } | null = null;
  /** The oldest first. */
  let pages: Page[] = [];

  const clear = (): void => {
    pages = [];
  };

  const pageWithRoom = (nowUs: number): Page => {
    const newest = pages.at(-1);
    if (newest && newest.used < PAGE_BYTES && newest.chunks < PAGE_CHUNKS) return newest;
    const isOver = (page: Page): boolean => nowUs - lastArrivalUs(page) > LONGEST_US;
    let spare: Page | undefined;
    for (let oldest = pages[0]; oldest; oldest = pages[0]) {
      if (pages.length * PAGE_BYTES < MOST_BYTES && !isOver(oldest)) break;
      spare = pages.shift();
    }
    const page = spare ?? emptyPage();
    page.chunks = 0;
    page.used = 0;
    pages.push(page);
    return page;
  };

  return {
    restart(path, profile) {
      port = { path, profile };
      clear();
    },
    add(bytes, arrivalUs) {
      for (let from = 0; from < bytes.length;) {
        const page = pageWithRoom(arrivalUs);
        const to = Math.min(bytes.length, from + PAGE_BYTES - page.used);
        page.bytes.set(bytes.subarray(from, to), page.used);
        page.used += to - from;
        page.ends[page.chunks] = page.used;
        page.arrivalUs[page.chunks] = arrivalUs;
        page.chunks += 1;
        from = to;
      }
    },
    clear,
    takeCapture(now, nowUs) {
      if (!port) return null;
      const newest = pages.at(-1);
      const kept = newest
        ? pages.flatMap((page) => chunksSince(page, lastArrivalUs(newest) - LONGEST_US))
        : [];
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

function emptyPage(): Page {
  return {
    bytes: new Uint8Array(PAGE_BYTES),
    ends: new Uint32Array(PAGE_CHUNKS),
    arrivalUs: new Float64Array(PAGE_CHUNKS),
    chunks: 0,
    used: 0,
  };
}

function lastArrivalUs({ arrivalUs, chunks }: Page): number {
  return arrivalUs[chunks - 1] ?? 0;
}

function chunksSince(page: Page, sinceUs: number): { bytes: Uint8Array; arrivalUs: number }[] {
  return Array.from(page.arrivalUs.subarray(0, page.chunks), (arrivalUs, chunk) => ({
    arrivalUs,
    bytes: page.bytes.subarray(chunk === 0 ? 0 : page.ends[chunk - 1], page.ends[chunk]),
  })).filter(({ arrivalUs }) => arrivalUs >= sinceUs);
}
