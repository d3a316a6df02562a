import type {
  EventName,
  EventPayload,
  RequestName,
  RequestParams,
  RequestResult,
} from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { encodeWireMessage, type WireFrame, wireProtocol } from '../../shared-lib/wire-codec.ts';
import { EventListeners } from './event-listeners.ts';
import type { LinkedConnection, LinkState } from './link-state.ts';
import { readHostFrame } from './read-host-frame.ts';
import { connectionLost, RequestCorrelator } from './request-correlator.ts';

export interface TokenSource {
  /** Tokens to try, the likeliest first. */
  candidates(): Iterable<string>;
  accepted(token: string): void;
}

/** What a window shows at the door of the host. */
export interface Credential {
  readonly kind: 'token' | 'ticket';
  readonly text: string;
}

export interface WebSocketConnectionOptions {
  readonly url: string;
  /** Works once, so it is shown first and once, whatever comes of it. The host gives a token for it. */
  readonly ticket?: string | null;
  readonly tokens: TokenSource;
  /** The last delay repeats for as long as the program does not answer. */
  readonly retryDelaysMs?: readonly number[];
}

const defaultRetryDelaysMs = [250, 500, 1000, 2000, 4000];

/** The loopback host's door. It reconnects by itself; a request that was under way when the link broke is not repeated. */
export class WebSocketConnection implements LinkedConnection {
  readonly #url: string;
  readonly #tokens: TokenSource;
  readonly #retryDelaysMs: readonly number[];
  readonly #correlator = new RequestCorrelator();
  readonly #events = new EventListeners();
  readonly #linkListeners = new Set<() => void>();
  /** Requests made before the first opening. */
  readonly #waiting: WireFrame[] = [];
  readonly #refusedTokens = new Set<string>();
  #linkState: LinkState = 'connecting';
  #socket: WebSocket | null = null;
  #failedAttempts = 0;
  #retryTimer: ReturnType<typeof setTimeout> | undefined;
  #isClosed = false;
  #ticket: string | null;

  constructor(options: WebSocketConnectionOptions) {
    this.#url = options.url;
    this.#ticket = options.ticket ?? null;
    this.#tokens = options.tokens;
    this.#retryDelaysMs = options.retryDelaysMs ?? defaultRetryDelaysMs;
    this.#connect();
  }

  request<Name extends RequestName>(name: Name, params: RequestParams<Name>): Promise<RequestResult<Name>> {
    if (this.#linkState === 'refused') return Promise.reject(tokenRefused());
    if (this.#linkState === 'lost') return Promise.reject(connectionLost());
    const { requestId, answer } = this.#correlator.open();
    const frame = encodeWireMessage({ kind: 'request', id: requestId, name, params });
    if (this.#linkState === 'open') this.#socket?.send(frame);
    else this.#waiting.push(frame);
    return answer as Promise<RequestResult<Name>>;
  }

  subscribe<Name extends EventName>(name: Name, listener: (payload: EventPayload<Name>) => void): () => void {
    return this.#events.add(name, listener);
  }

  getLinkState(): LinkState {
    return this.#linkState;
  }

  subscribeToLinkState(listener: () => void): () => void {
    this.#linkListeners.add(listener);
    return () => {
      this.#linkListeners.delete(listener);
    };
  }

  /** For when a newer token has turned up after a refusal. */
  tryNewTokens(): void {
    if (this.#linkState === 'refused') this.#connect();
  }

  close(): void {
    this.#isClosed = true;
    clearTimeout(this.#retryTimer);
    this.#socket?.close();
    this.#breakOff('lost');
  }

  #connect(): void {
    const credential = this.#takeCredential();
    if (credential === null) {
      this.#breakOff('refused');
      return;
    }
    const { kind, text } = credential;
    const socket = new WebSocket(this.#url, [wireProtocol, `${kind}.${text}`]);
    this.#socket = socket;
    socket.binaryType = 'arraybuffer';
    let hasOpened = false;
    socket.addEventListener('open', () => {
      hasOpened = true;
      this.#failedAttempts = 0;
      if (kind === 'token') this.#tokens.accepted(text);
      for (const frame of this.#waiting.splice(0)) socket.send(frame);
      this.#setLinkState('open');
    });
    socket.addEventListener('message', (message: MessageEvent<string | ArrayBuffer>) =>
      this.#receive(message.data),
    );
    // An 'error' is always followed by 'close', which says all that a page may know.
    socket.addEventListener('close', () => {
      if (this.#isClosed) return;
      this.#socket = null;
      void this.#reconnect(hasOpened ? null : credential);
    });
  }

  #takeCredential(): Credential | null {
    const ticket = this.#ticket;
    this.#ticket = null;
    if (ticket !== null) return { kind: 'ticket', text: ticket };
    for (const candidate of this.#tokens.candidates()) {
      if (!this.#refusedTokens.has(candidate)) return { kind: 'token', text: candidate };
    }
    return null;
  }

  async #reconnect(unopened: Credential | null): Promise<void> {
    // A page is not told why a handshake failed; but a host that answers plain requests has turned down what was shown.
    const isRefused = unopened !== null && (await isAnswering(this.#url));
    if (this.#isClosed) return;
    if (isRefused) {
      if (unopened.kind === 'token') this.#refusedTokens.add(unopened.text);
      this.#connect();
      return;
    }
    this.#breakOff('lost');
    const delayMs = this.#retryDelaysMs[Math.min(this.#failedAttempts, this.#retryDelaysMs.length - 1)];
    this.#failedAttempts += 1;
    this.#retryTimer = setTimeout(() => this.#connect(), delayMs);
  }

  #receive(data: string | ArrayBuffer): void {
    const message = readHostFrame(data);
    switch (message.kind) {
      case 'reply':
        this.#correlator.settle(message.id, message.reply);
        return;
      case 'event':
        this.#events.notify(message.name, message.payload);
        return;
      case 'token':
        this.#tokens.accepted(message.token);
        return;
    }
  }

  #breakOff(linkState: LinkState): void {
    this.#waiting.length = 0;
    this.#correlator.rejectAll(linkState === 'refused' ? tokenRefused() : connectionLost());
    this.#setLinkState(linkState);
  }

  #setLinkState(linkState: LinkState): void {
    if (linkState === this.#linkState) return;
    this.#linkState = linkState;
    for (const listener of this.#linkListeners) listener();
  }
}

function tokenRefused(): AppError {
  return new AppError(
    'not-authorised',
    'This address belongs to an earlier start of the program, or was used before. Nothing was changed; open the address that the newest start printed.',
  );
}

async function isAnswering(socketUrl: string): Promise<boolean> {
  const pageUrl = new URL('/', socketUrl.replace(/^ws/, 'http'));
  try {
    const response = await fetch(pageUrl, { method: 'HEAD', cache: 'no-store' });
    return response.ok;
  } catch (error) {
    // fetch reports "nobody there" as a TypeError and has no finer word for it.
    if (error instanceof TypeError) return false;
    throw error;
  }
}
