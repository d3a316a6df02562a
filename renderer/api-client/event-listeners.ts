import type { EventName, EventPayload } from '../../shared-lib/api-contract.ts';

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

  /**
   * The hosts send what the contract's schema allows, which the contract tests hold them to. A name that is not in it has no listener; to
   * look it up in the contract, every schema would have to be made before the first picture.
   */
  notify(name: string, payload: unknown): void {
    for (const listener of this.#listeners.get(name as EventName) ?? []) listener(payload as never);
  }
}
