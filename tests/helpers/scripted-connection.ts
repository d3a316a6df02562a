import type {
  EventName,
  EventPayload,
  RequestName,
  RequestParams,
  RequestResult,
  Settings,
} from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { EventListeners } from '../../renderer/api-client/event-listeners.ts';
import type { LinkedConnection, LinkState } from '../../renderer/api-client/link-state.ts';

type Answer<Name extends RequestName> = (
  params: RequestParams<Name>,
) => RequestResult<Name> | Promise<RequestResult<Name>>;

interface RecordedRequest {
  readonly name: RequestName;
  readonly params: unknown;
}

/**
 * A connection whose far side is the test: status and settings are set from outside, events are sent by hand, requests
 * are recorded and answered as scripted. It lets every state of a screen be looked at without the services.
 *
 * `getStatus`, `getSettings` and `updateSettings` answer by themselves; anything else without an answer is refused.
 */
export class ScriptedConnection implements LinkedConnection {
  readonly requests: RecordedRequest[] = [];
  readonly #events = new EventListeners();
  readonly #answers = new Map<RequestName, (params: never) => unknown>();
  readonly #linkListeners = new Set<() => void>();
  #linkState: LinkState = 'open';
  #status: BenchStatus;
  #settings: Settings;

  constructor(status: BenchStatus, settings: Settings) {
    this.#status = status;
    this.#settings = settings;
    this.answer('getStatus', () => this.#status);
    this.answer('getSettings', () => this.#settings);
    this.answer('updateSettings', (change) => {
      this.setSettings({ ...this.#settings, ...withoutUndefined(change) });
      return this.#settings;
    });
  }

  /** From now on requests of this name are answered so; an answer may throw an AppError. */
  answer<Name extends RequestName>(name: Name, answer: Answer<Name>): void {
    this.#answers.set(name, answer);
  }

  setStatus(change: Partial<BenchStatus>): void {
    this.#status = { ...this.#status, ...change };
    this.send('statusChanged', this.#status);
  }

  setSettings(settings: Settings): void {
    this.#settings = settings;
    this.send('settingsChanged', settings);
    if (settings.step !== this.#status.step) this.setStatus({ step: settings.step });
  }

  send<Name extends EventName>(name: Name, payload: EventPayload<Name>): void {
    this.#events.notify(name, payload);
  }

  setLinkState(linkState: LinkState): void {
    this.#linkState = linkState;
    for (const listener of this.#linkListeners) listener();
  }

  async request<Name extends RequestName>(
    name: Name,
    params: RequestParams<Name>,
  ): Promise<RequestResult<Name>> {
    this.requests.push({ name, params });
    const answer = this.#answers.get(name);
    if (answer === undefined) throw new AppError('internal', `The script has no answer to ${name}.`);
    // The map holds under each name only what `answer` has typed for it.
    return (answer as Answer<Name>)(params);
  }

  subscribe<Name extends EventName>(name: Name, listener: (payload: EventPayload<Name>) => void): () => void {
    return this.#events.add(name, listener);
  }

  getLinkState(): LinkState {
    return this.#linkState;
  }

  subscribeToLinkState(listener: () => void): () => void {
    this.#linkListeners.add(listener);
    return () => this.#linkListeners.delete(listener);
  }
}

function withoutUndefined<Shape extends object>(
  change: Shape,
): { [Key in keyof Shape]: NonNullable<Shape[Key]> } {
  return Object.fromEntries(Object.entries(change).filter(([, value]) => value !== undefined)) as {
    [Key in keyof Shape]: NonNullable<Shape[Key]>;
  };
}
