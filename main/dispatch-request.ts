import { randomUUID } from 'node:crypto';
import type { z } from 'zod';
import {
  type Failure,
  isRequestName,
  type Reply,
  type RequestName,
  requests,
} from '../shared-lib/api-contract.ts';
import { AppError } from '../shared-lib/app-error.ts';
import type { Logger } from './platform/logger.ts';
import type { RequestHandlers } from './services.ts';

export interface Dispatcher {
  /** Never rejects: whatever comes in, and whatever happens, there is an answer. */
  dispatch(name: unknown, params: unknown): Promise<Reply>;
  /** From here on every request, also each one under way, is answered 'shutting-down'. */
  beginShutdown(): void;
}

export interface DispatcherOptions {
  /** For tests: a result that breaks the contract is answered 'internal' instead of being passed on. */
  readonly checksResults?: boolean;
}

/** Transport-free border between windows and services: the only place where errors become data. */
export function createDispatcher(
  handlers: RequestHandlers,
  log: Logger,
  { checksResults = false }: DispatcherOptions = {},
): Dispatcher {
  const underWay = new Set<(reply: Reply) => void>();
  let isShuttingDown = false;

  async function answer(name: unknown, params: unknown): Promise<Reply> {
    if (!isRequestName(name)) {
      return failed(
        new AppError('unknown-request', 'This program has no such request. Nothing was changed.'),
      );
    }
    try {
      const checked = requests[name].params.safeParse(params);
      if (!checked.success) return failed(invalidRequest(name, checked.error));
      const result = await call(name, checked.data);
      if (checksResults) requests[name].result.parse(result);
      return { ok: true, result };
    } catch (error) {
      return failed(error, name);
    }
  }

  // The schema of this very name has vouched for the parameters, a tie that TypeScript cannot express for a union.
  async function call(name: RequestName, params: unknown): Promise<unknown> {
    const handler = handlers[name] as (params: unknown) => unknown;
    return await handler(params);
  }

  function failed(error: unknown, requestName?: RequestName): Reply {
    if (error instanceof AppError) {
      const { code, message, details } = error;
      log.warn('request refused', { code, ...(requestName === undefined ? {} : { requestName }) });
      return { ok: false, error: { code, message, details } };
    }
    const logId = randomUUID();
    log.error('request failed', {
      logId,
      cause: error,
      ...(requestName === undefined ? {} : { requestName }),
    });
    return { ok: false, error: internalFailure(logId) };
  }

  return {
    dispatch(name, params) {
      if (isShuttingDown) return Promise.resolve(shuttingDown());
      return new Promise((resolve) => {
        underWay.add(resolve);
        void answer(name, params).then((reply) => {
          underWay.delete(resolve);
          resolve(reply);
        });
      });
    },
    beginShutdown() {
      isShuttingDown = true;
      for (const resolve of underWay) resolve(shuttingDown());
      underWay.clear();
    },
  };
}

export function internalFailure(logId: string): Failure {
  return {
    code: 'internal',
    message: `Something went wrong inside the program. Data already stored is safe. Try again; if it stays, look for ${logId} in the log.`,
    details: { logId },
  };
}

function invalidRequest(name: RequestName, error: z.ZodError): AppError {
  const first = error.issues[0];
  const path = shortened(first === undefined ? '' : first.path.map(String).join('.'));
  const problem = asSentence(shortened(first?.message ?? 'It has another form.'));
  return new AppError(
    'invalid-request',
    `The request was not accepted${path === '' ? '' : ` because of "${path}"`}: ${problem} Nothing was changed; correct it and try again.`,
    { request: name, path, problem },
  );
}

/** What came in can stand in the complaint about it, at any length. */
function shortened(text: string): string {
  return text.length <= 150 ? text : `${text.slice(0, 150)}...`;
}

function asSentence(text: string): string {
  return /[.!?]$/.test(text) ? text : `${text}.`;
}

function shuttingDown(): Reply {
  return {
    ok: false,
    error: {
      code: 'shutting-down',
      message: 'The program is closing. What it has measured is being stored; start it again to go on.',
      details: {},
    },
  };
}
