import type { Clock } from '../platform/clock.ts';

const RECONNECT_INTERVAL_US = 500_000;

/** When a lost amplifier is looked for again. */
export interface ReconnectSchedule {
  isDue(nowUs: number): boolean;
  /** Not again before this attempt is answered: a port that opens slower than it is asked to would never be taken. */
  attempted(): void;
  /** The amplifier was lost, or an attempt failed: the next one comes half a second from now. */
  retry(): void;
  waitUntil(us: number): void;
}

export function createReconnectSchedule(clock: Clock): ReconnectSchedule {
  let nextUs = 0;
  return {
    isDue: (nowUs) => nowUs >= nextUs,
    attempted() {
      nextUs = Infinity;
    },
    retry() {
      nextUs = clock.monotonicUs() + RECONNECT_INTERVAL_US;
    },
    waitUntil(us) {
      nextUs = us;
    },
  };
}
