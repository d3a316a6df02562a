import { type RequestName, requests } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { EventListener, RequestHandlers, Services } from '../services.ts';

/** Asks for the services to be closed, for something to be done to their data, and for them to be started anew. */
export type Restart = (replaceData: () => void) => Promise<void>;

/**
 * Services that can be closed and started anew behind the same handlers and listeners, so that no door has to know. What is asked
 * for meanwhile is answered 'shutting-down'.
 *
 * `compose` starts them. Where they do not start on the data that was put in, that error goes to whoever asked for it, and to everybody
 * else from then on.
 */
export async function createRestartableServices(
  compose: (restart: Restart) => Promise<Services>,
): Promise<Services> {
  const listeners = new Set<EventListener>();
  const pass: EventListener = (name, payload) => {
    for (const listener of listeners) listener(name, payload);
  };
  let current: Services | null = null;
  let failure: unknown = null;
  let restarting: Promise<void> | null = null;

  const begin = async (): Promise<void> => {
    const begun = await compose(restart);
    begun.onEvent(pass);
    current = begun;
    failure = null;
  };
  const closeAndBegin = async (replaceData: () => void): Promise<void> => {
    const closing = current;
    current = null;
    try {
      await closing?.close();
      try {
        replaceData();
      } finally {
        await begin();
      }
      pass('dataReplaced', {});
    } catch (error) {
      failure = error;
      throw error;
    }
  };
  const restart: Restart = (replaceData) => {
    if (current === null) return Promise.reject(notNow());
    const done = closeAndBegin(replaceData).finally(() => {
      restarting = null;
    });
    restarting = done;
    return done;
  };
  const notNow = (): Error =>
    failure instanceof Error
      ? failure
      : new AppError(
          'shutting-down',
          'The program puts other data in its place and starts anew; nothing was changed. Try again in a moment.',
        );

  await begin();
  const handlers = Object.fromEntries(
    (Object.keys(requests) as RequestName[]).map((name) => [
      name,
      (params: never) => {
        if (current === null) throw notNow();
        return current.handlers[name](params);
      },
    ]),
    // Each function stands under the name of its own request, a tie that TypeScript loses over `fromEntries`.
  ) as unknown as RequestHandlers;

  return {
    handlers,
    onEvent(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    async close() {
      // A restart that fails has told whoever asked for it.
      await restarting?.catch(() => undefined);
      await current?.close();
    },
  };
}
