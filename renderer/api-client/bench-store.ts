import type { Settings } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import type { LinkedConnection, LinkState } from './link-state.ts';

export interface BenchSnapshot {
  readonly status: BenchStatus | null;
  readonly settings: Settings | null;
  readonly linkState: LinkState;
  /** Why the services cannot say what the bench is, such as a database that cannot be opened. */
  readonly problem: AppError | null;
}

/** Unreadable lines alone can change the status fifty times a second; a window that draws each falls behind its answers. */
const STATUS_INTERVAL_MS = 50;

/**
 * What every place needs to know of the bench, kept whole for `useSyncExternalStore`.
 *
 * It is asked for again after every reconnection, because events sent in between were missed.
 */
export class BenchStore {
  readonly connection: LinkedConnection;
  readonly #listeners = new Set<() => void>();
  #snapshot: BenchSnapshot;
  /** Came while the last one had hardly been shown; only the newest of such counts, as each status is whole. */
  #waitingStatus: BenchStatus | null = null;
  #statusTimer: ReturnType<typeof setTimeout> | null = null;

  constructor(connection: LinkedConnection) {
    this.connection = connection;
    this.#snapshot = { status: null, settings: null, problem: null, linkState: connection.getLinkState() };
  }

  readonly getSnapshot = (): BenchSnapshot => this.#snapshot;

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };

  /** Ends once there is something to show: what the bench is, why that cannot be said, or that nobody answers. */
  async settled(): Promise<void> {
    while (!isSettled(this.#snapshot)) {
      await new Promise<void>((resolve) => {
        const stop = this.subscribe(() => {
          stop();
          resolve();
        });
      });
    }
  }

  /** Returns the function that stops following. */
  start(): () => void {
    const stops = [
      this.connection.subscribe('statusChanged', (status) => this.#takeStatus(status)),
      this.connection.subscribe('settingsChanged', (settings) => this.#update({ settings })),
      this.connection.subscribeToLinkState(() => this.#followLink()),
    ];
    this.#followLink();
    return () => {
      stops.forEach((stop) => stop());
      if (this.#statusTimer !== null) clearTimeout(this.#statusTimer);
      this.#statusTimer = null;
    };
  }

  #takeStatus(status: BenchStatus): void {
    if (this.#statusTimer !== null) {
      this.#waitingStatus = status;
      return;
    }
    this.#waitingStatus = null;
    this.#update({ status, problem: null });
    this.#statusTimer = setTimeout(() => {
      this.#statusTimer = null;
      if (this.#waitingStatus !== null) this.#takeStatus(this.#waitingStatus);
    }, STATUS_INTERVAL_MS);
  }

  #followLink(): void {
    const linkState = this.connection.getLinkState();
    this.#update({ linkState });
    if (linkState === 'open') void this.#fetchAll();
  }

  async #fetchAll(): Promise<void> {
    try {
      const [status, settings] = await Promise.all([
        this.connection.request('getStatus', {}),
        this.connection.request('getSettings', {}),
      ]);
      this.#waitingStatus = null;
      this.#update({ status, settings, problem: null });
    } catch (error) {
      if (!(error instanceof AppError)) throw error;
      // A lost connection is shown as such, and asking again follows the reconnection.
      if (error.code !== 'connection-lost') this.#update({ problem: error });
    }
  }

  #update(change: Partial<BenchSnapshot>): void {
    this.#snapshot = { ...this.#snapshot, ...change };
    for (const listener of this.#listeners) listener();
  }
}

function isSettled({ status, settings, linkState, problem }: BenchSnapshot): boolean {
  const isKnown = status !== null && settings !== null;
  return isKnown || problem !== null || linkState === 'lost' || linkState === 'refused';
}
