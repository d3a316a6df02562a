import type { Reply } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';

interface PendingRequest {
  readonly resolve: (result: unknown) => void;
  readonly reject: (error: AppError) => void;
}

export interface OpenedRequest {
  readonly requestId: number;
  readonly answer: Promise<unknown>;
}

/** Matches answers to requests by number, in whatever order they come. It knows no transport. */
export class RequestCorrelator {
  readonly #pending = new Map<number, PendingRequest>();
  #lastRequestId = 0;

  open(): OpenedRequest {
    const requestId = ++this.#lastRequestId;
    const answer = new Promise<unknown>((resolve, reject) => {
      this.#pending.set(requestId, { resolve, reject });
    });
    return { requestId, answer };
  }

  /** False where nobody waits for this answer: it is a second one, or its request ended with a lost connection. */
  settle(requestId: number, reply: Reply): boolean {
    const request = this.#pending.get(requestId);
    if (request === undefined) return false;
    this.#pending.delete(requestId);
    if (reply.ok) request.resolve(reply.result);
    else request.reject(appErrorFromFailure(reply.error));
    return true;
  }

  /** Whether the other side carried out what was pending is unknown from here on, so nothing is sent again. */
  rejectAll(error: AppError = connectionLost()): void {
    const pending = [...this.#pending.values()];
    this.#pending.clear();
    for (const request of pending) request.reject(error);
  }
}

export function appErrorFromFailure(failure: Extract<Reply, { ok: false }>['error']): AppError {
  return new AppError(failure.code, failure.message, failure.details);
}

export function connectionLost(): AppError {
  return new AppError(
    'connection-lost',
    'The connection to the program was lost. What it had measured is stored on its side; this page shows it again once the connection is back.',
  );
}
