import type { Clock } from '../platform/clock.ts';

const LEAST_INTERVAL_MS = 40;

export interface StatusSender {
  changed(): void;
  close(): void;
}

/** Tells the status at once where it can be, and never more often than a window could show: a stream of bad lines is a change per block. */
export function createStatusSender(clock: Clock, send: () => void): StatusSender {
  let timer: NodeJS.Timeout | null = null;
  let sentUs = -Infinity;
  const sendNow = (): void => {
    timer = null;
    sentUs = clock.monotonicUs();
    send();
  };
  return {
    changed() {
      const waitMs = Math.max(0, LEAST_INTERVAL_MS - (clock.monotonicUs() - sentUs) / 1000);
      timer ??= setTimeout(sendNow, waitMs);
    },
    close() {
      if (timer) clearTimeout(timer);
    },
  };
}
