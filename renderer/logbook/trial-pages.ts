import type { Connection, RequestParams, RequestResult } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { TrialSummary } from '../../shared-lib/trial/trial-model.ts';

/** The filter and the order of a list, without the piece of it that is asked for. */
export type TrialQuery = Omit<RequestParams<'listTrials'>, 'offset' | 'limit'>;

export interface TrialPagesSnapshot {
  /** Null until the first answer to this query. */
  readonly total: number | null;
  readonly trials: ReadonlyMap<number, TrialSummary>;
  readonly error: AppError | null;
}

const PAGE_LENGTH = 100;

/** A long list of trials of which only the pages in sight are fetched. Positions count from the newest, 0. */
export class TrialPages {
  readonly #connection: Pick<Connection, 'request'>;
  readonly #listeners = new Set<() => void>();
  #snapshot: TrialPagesSnapshot = { total: null, trials: new Map(), error: null };
  #query: TrialQuery = { search: '', state: null };
  #visible = { first: 0, last: 0 };
  #fetchedPages = new Set<number>();
  /** Answers to a question asked before the list changed are thrown away. */
  #generation = 0;
  #shownGeneration = -1;

  constructor(connection: Pick<Connection, 'request'>) {
    this.#connection = connection;
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => {
      this.#listeners.delete(listener);
    };
  };

  readonly getSnapshot = (): TrialPagesSnapshot => this.#snapshot;

  ask(query: TrialQuery): void {
    this.#query = query;
    this.#visible = { first: 0, last: 0 };
    this.refresh();
  }

  /** Fetches anew what is in sight; until it comes the old rows stay. */
  refresh(): void {
    this.#generation += 1;
    this.#fetchedPages = new Set();
    this.#fetchVisible();
  }

  show(first: number, last: number): void {
    this.#visible = { first, last };
    this.#fetchVisible();
  }

  #fetchVisible(): void {
    const lastPage = Math.floor(this.#visible.last / PAGE_LENGTH);
    for (let page = Math.floor(this.#visible.first / PAGE_LENGTH); page <= lastPage; page += 1) {
      if (this.#fetchedPages.has(page)) continue;
      this.#fetchedPages.add(page);
      void this.#fetch(page, this.#generation);
    }
  }

  async #fetch(page: number, generation: number): Promise<void> {
    try {
      const result = await this.#connection.request('listTrials', {
        ...this.#query,
        offset: page * PAGE_LENGTH,
        limit: PAGE_LENGTH,
      });
      if (generation === this.#generation) this.#take(page, result);
    } catch (error) {
      if (!(error instanceof AppError)) throw error;
      if (generation !== this.#generation) return;
      this.#fetchedPages.delete(page);
      this.#update({ ...this.#snapshot, error });
    }
  }

  #take(page: number, { total, trials }: RequestResult<'listTrials'>): void {
    // The first answer since a refresh, whichever page it holds, takes the place of everything older.
    const isFirst = this.#shownGeneration !== this.#generation;
    this.#shownGeneration = this.#generation;
    const all = new Map(isFirst ? [] : this.#snapshot.trials);
    trials.forEach((trial, index) => all.set(page * PAGE_LENGTH + index, trial));
    this.#update({ total, trials: all, error: null });
  }

  #update(snapshot: TrialPagesSnapshot): void {
    this.#snapshot = snapshot;
    for (const listener of this.#listeners) listener();
  }
}
