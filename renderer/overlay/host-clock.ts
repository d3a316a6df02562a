/** How many of the newest tidings count: half a minute of them. */
const REMEMBERED = 30;

/**
 * How the host's monotonic clock stands to this page's own.
 *
 * A message is late by its way, never early, so the least difference of the newest ones is the truest; older ones are dropped, since
 * two clocks may drift apart.
 */
export class HostClock {
  /** Page clock less host clock, in ms, as each message had it. */
  #differencesMs: number[] = [];

  take(hostUs: number, receivedMs: number): void {
    this.#differencesMs = [...this.#differencesMs, receivedMs - hostUs / 1000].slice(-REMEMBERED);
  }

  forget(): void {
    this.#differencesMs = [];
  }

  /** An instant of the host on this page's clock; null: nothing is known yet. */
  pageMs(hostUs: number): number | null {
    return this.#differencesMs.length === 0 ? null : hostUs / 1000 + Math.min(...this.#differencesMs);
  }

  /** This page's clock as an instant of the host; null: nothing is known yet. */
  hostUs(pageMs: number): number | null {
    return this.#differencesMs.length === 0 ? null : (pageMs - Math.min(...this.#differencesMs)) * 1000;
  }
}
