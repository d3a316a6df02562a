import { type EventName, type EventPayload, isEventName } from '../../shared-lib/api-contract.ts';

type Listener = (payload: never) => void;

/** Who listens to which event, kept apart from the transport so that it outlives a reconnection. */
export class EventListeners {
  readonly #listeners = new Map<EventName, Set<Listener>>();

  add<Name extends EventName>(name: Name, listener: (payload: EventPayload<Name>) => void): () => void {
    const ofName = this.#listeners.get(name) ?? new Set<Listener>();
    this.#listeners.set(name, ofName);
    // A wrapper of its own, so that the same function can listen twice and each subscription ends by itself.
    const own: Listener = (payload) => listener(payload);
    ofName.add(own);
    return () => {
      ofName.delete(own);
    };
  }

  /** The hosts send what the contract's schema allows, which the contract tests hold them to. */
  notify(name: string, payload: unknown): void {
    if (!isEventName(name)) throw new Error(`An event of this name is not in the contract: ${name}`);
    for (const listener of this.#listeners.get(name) ?? []) listener(payload as never);
  }
}
