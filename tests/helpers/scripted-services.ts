import {
  type EventName,
  type EventPayload,
  type RequestName,
  requests,
} from '../../shared-lib/api-contract.ts';
import type { EventListener, RequestHandlers, Services } from '../../main/services.ts';

export interface ScriptedServices extends Pick<Services, 'handlers' | 'onEvent'> {
  /** What the next requests of this name are answered with; it may throw or wait. */
  script(name: RequestName, answer: (params: unknown) => unknown): void;
  emit<Name extends EventName>(name: Name, payload: EventPayload<Name>): void;
}

/** A handler set whose answers a test decides, for testing what lies between window and services. */
export function createScriptedServices(): ScriptedServices {
  const answers = new Map<RequestName, (params: unknown) => unknown>();
  const listeners = new Set<EventListener>();
  const handlers = Object.fromEntries(
    (Object.keys(requests) as RequestName[]).map((name) => [
      name,
      (params: unknown) => {
        const answer = answers.get(name);
        if (answer === undefined) throw new Error(`The test gave no answer to ${name}.`);
        return answer(params);
      },
    ]),
  ) as unknown as RequestHandlers;
  return {
    handlers,
    onEvent(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    script(name, answer) {
      answers.set(name, answer);
    },
    emit(name, payload) {
      for (const listener of listeners) listener(name, payload);
    },
  };
}
