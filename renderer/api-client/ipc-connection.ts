import type {
  EventName,
  EventPayload,
  RequestName,
  RequestParams,
  RequestResult,
} from '../../shared-lib/api-contract.ts';
import type { PreloadBridge } from '../../shared-lib/preload-bridge.ts';
import type { LinkedConnection, LinkState } from './link-state.ts';
import { appErrorFromFailure, connectionLost } from './request-correlator.ts';

declare global {
  interface Window {
    readonly proofarm?: PreloadBridge;
  }
}

/** The desktop window's door. Answers come matched by the bridge itself, and it is there as long as the window is. */
export class IpcConnection implements LinkedConnection {
  readonly #bridge: PreloadBridge;

  constructor(bridge: PreloadBridge) {
    this.#bridge = bridge;
  }

  async request<Name extends RequestName>(
    name: Name,
    params: RequestParams<Name>,
  ): Promise<RequestResult<Name>> {
    const reply = await this.#bridge.request(name, params).catch(() => {
      throw connectionLost();
    });
    if (!reply.ok) throw appErrorFromFailure(reply.error);
    return reply.result as RequestResult<Name>;
  }

  subscribe<Name extends EventName>(name: Name, listener: (payload: EventPayload<Name>) => void): () => void {
    return this.#bridge.subscribe(name, (payload) => listener(payload as EventPayload<Name>));
  }

  getLinkState(): LinkState {
    return 'open';
  }

  subscribeToLinkState(): () => void {
    return () => undefined;
  }
}
