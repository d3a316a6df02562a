import { once } from 'node:events';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterEach, describe, expect, it } from 'vitest';
import { type WebSocket, WebSocketServer } from 'ws';
import type { LinkState } from '../../../../renderer/api-client/link-state.ts';
import { WebSocketConnection } from '../../../../renderer/api-client/websocket-connection.ts';
import {
  decodeWireMessage,
  encodeWireMessage,
  type WireMessage,
  wireProtocol,
} from '../../../../shared-lib/wire-codec.ts';

/** Answers each request by a function, and takes only its own token, as the loopback host does. */
class WireServer {
  readonly http: Server;
  readonly sockets: WebSocket[] = [];
  readonly received: WireMessage[] = [];
  answer: (message: WireMessage, socket: WebSocket) => void = () => undefined;
  /** Good for one connection. */
  ticket: string | null = null;
  readonly #token: string;

  constructor(token: string) {
    this.#token = token;
    this.http = createServer((_request, response) => response.end('page'));
    const webSockets = new WebSocketServer({ noServer: true });
    this.http.on('upgrade', (request, stream, head) => {
      const offered = request.headers['sec-websocket-protocol']?.split(/,\s*/);
      const isByTicket = this.ticket !== null && offered?.[1] === `ticket.${this.ticket}`;
      if (isByTicket) this.ticket = null;
      if (offered?.[0] !== wireProtocol || (!isByTicket && offered[1] !== `token.${this.#token}`)) {
        stream.end('HTTP/1.1 401 Unauthorized\r\nConnection: close\r\n\r\n');
        return;
      }
      webSockets.handleUpgrade(request, stream, head, (socket) => {
        this.sockets.push(socket);
        if (isByTicket) socket.send(encodeWireMessage({ kind: 'token', token: this.#token }));
        socket.on('message', (data: Buffer, isBinary) => {
          const message = decodeWireMessage(isBinary ? data : data.toString());
          this.received.push(message);
          this.answer(message, socket);
        });
      });
    });
  }

  async listen(port = 0): Promise<number> {
    this.http.listen(port, '127.0.0.1');
    await once(this.http, 'listening');
    return (this.http.address() as AddressInfo).port;
  }

  broadcast(message: WireMessage): void {
    for (const socket of this.sockets) socket.send(encodeWireMessage(message));
  }

  async stop(): Promise<void> {
    for (const socket of this.sockets.splice(0)) socket.terminate();
    this.http.closeAllConnections();
    this.http.close();
    await once(this.http, 'close');
  }
}

const cleanUps: (() => Promise<void> | void)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

async function startServer(token = 'right', port = 0): Promise<{ server: WireServer; port: number }> {
  const server = new WireServer(token);
  const actualPort = await server.listen(port);
  cleanUps.push(() => (server.http.listening ? server.stop() : undefined));
  return { server, port: actualPort };
}

function connect(port: number, tokens: readonly string[] = ['right'], ticket: string | null = null) {
  const accepted: string[] = [];
  const candidates = [...tokens];
  const connection = new WebSocketConnection({
    url: `ws://127.0.0.1:${port}/socket`,
    ticket,
    tokens: { candidates: () => candidates, accepted: (token) => accepted.push(token) },
    retryDelaysMs: [10],
  });
  cleanUps.push(() => connection.close());
  return { connection, accepted, candidates };
}

function reach(connection: WebSocketConnection, wanted: LinkState): Promise<void> {
  return new Promise((resolve) => {
    const check = () => {
      if (connection.getLinkState() !== wanted) return;
      stop();
      resolve();
    };
    const stop = connection.subscribeToLinkState(check);
    check();
  });
}

function replyWith(result: unknown) {
  return (message: WireMessage, socket: WebSocket) => {
    if (message.kind !== 'request') throw new Error('Only requests come from a window.');
    socket.send(encodeWireMessage({ kind: 'reply', id: message.id, reply: { ok: true, result } }));
  };
}

describe('WebSocket connection', () => {
  it('sends a request made before the link is open as soon as it is, and returns the result', async () => {
    const { server, port } = await startServer();
    server.answer = replyWith({ ports: [] });
    const { connection, accepted } = connect(port);
    expect(connection.getLinkState()).toBe('connecting');
    await expect(connection.request('listPorts', {})).resolves.toEqual({ ports: [] });
    expect(connection.getLinkState()).toBe('open');
    expect(accepted).toEqual(['right']);
    expect(server.received).toMatchObject([{ kind: 'request', name: 'listPorts', params: {} }]);
  });

  it('carries typed arrays back whole', async () => {
    const { server, port } = await startServer();
    const counts = Int32Array.of(-8388608, 0, 8388607);
    server.answer = replyWith({ trialId: 'a', counts, gaps: Int32Array.of(1, 1) });
    const { connection } = connect(port);
    const result = await connection.request('getTrialCounts', { trialId: 'a' });
    expect([...result.counts]).toEqual([...counts]);
    expect([...result.gaps]).toEqual([1, 1]);
  });

  it('turns a failure reply into an AppError with its code', async () => {
    const { server, port } = await startServer();
    server.answer = (message, socket) => {
      if (message.kind !== 'request') return;
      const error = { code: 'trial-not-found', message: 'There is no such trial.', details: {} } as const;
      socket.send(encodeWireMessage({ kind: 'reply', id: message.id, reply: { ok: false, error } }));
    };
    const { connection } = connect(port);
    await expect(connection.request('getTrial', { trialId: 'none' })).rejects.toMatchObject({
      name: 'AppError',
      code: 'trial-not-found',
    });
  });

  it('rejects what was under way with connection-lost when the link breaks, and never sends it again', async () => {
    const { server, port } = await startServer();
    const { connection } = connect(port);
    server.answer = (_message, socket) => socket.terminate();
    await expect(connection.request('armTrial', {})).rejects.toMatchObject({ code: 'connection-lost' });
    await reach(connection, 'open');
    server.answer = replyWith({ ports: [] });
    await connection.request('listPorts', {});
    expect(server.received.map((message) => message.kind === 'request' && message.name)).toEqual([
      'armTrial',
      'listPorts',
    ]);
  });

  it('refuses a request at once while the program is gone', async () => {
    const { server, port } = await startServer();
    const { connection } = connect(port);
    await reach(connection, 'open');
    await server.stop();
    await reach(connection, 'lost');
    await expect(connection.request('listPorts', {})).rejects.toMatchObject({ code: 'connection-lost' });
  });

  it('keeps its listeners over a reconnection, until each of them ends its subscription', async () => {
    const { server, port } = await startServer();
    const { connection } = connect(port);
    const seen: string[] = [];
    const listener = ({ trialId }: { trialId: string }) => seen.push(trialId);
    const stopFirst = connection.subscribe('trialsChanged', listener);
    connection.subscribe('trialsChanged', listener);
    await reach(connection, 'open');
    server.broadcast({ kind: 'event', name: 'trialsChanged', payload: { trialId: 'before' } });
    await expect.poll(() => seen).toEqual(['before', 'before']);

    await server.stop();
    await reach(connection, 'lost');
    const { server: next } = await startServer('right', port);
    await reach(connection, 'open');
    stopFirst();
    next.broadcast({ kind: 'event', name: 'trialsChanged', payload: { trialId: 'after' } });
    await expect.poll(() => seen).toEqual(['before', 'before', 'after']);
  });

  it('says refused, and stops asking, when the program runs but does not take the token', async () => {
    const { port } = await startServer('newer');
    const { connection, accepted } = connect(port, ['older']);
    const answer = connection.request('getStatus', {});
    await expect(answer).rejects.toMatchObject({ code: 'not-authorised' });
    expect(connection.getLinkState()).toBe('refused');
    expect(accepted).toEqual([]);
    await expect(connection.request('getStatus', {})).rejects.toMatchObject({ code: 'not-authorised' });
  });

  it('falls back to the second stored token where the first is from an earlier start', async () => {
    const { server, port } = await startServer('newer');
    server.answer = replyWith({ ports: [] });
    const { connection, accepted } = connect(port, ['older', 'newer']);
    await expect(connection.request('listPorts', {})).resolves.toEqual({ ports: [] });
    expect(accepted).toEqual(['newer']);
  });

  it('connects with a newer token that turns up after a refusal', async () => {
    const { port } = await startServer('newer');
    const { connection, candidates } = connect(port, ['older']);
    await reach(connection, 'refused');
    candidates.push('newer');
    connection.tryNewTokens();
    await reach(connection, 'open');
  });

  it('shows its ticket before any token, and keeps the token that it is given for it', async () => {
    const { server, port } = await startServer();
    server.ticket = 'one';
    const { connection, accepted, candidates } = connect(port, ['older'], 'one');
    await reach(connection, 'open');
    await expect.poll(() => accepted).toEqual(['right']);
    candidates.unshift(...accepted);
    for (const socket of server.sockets) socket.terminate();
    await reach(connection, 'lost');
    await reach(connection, 'open');
  });

  it('falls back to the stored token where its ticket was used already', async () => {
    const { server, port } = await startServer();
    server.answer = replyWith({ ports: [] });
    const { connection, accepted } = connect(port, ['right'], 'used');
    await expect(connection.request('listPorts', {})).resolves.toEqual({ ports: [] });
    expect(accepted).toEqual(['right']);
  });

  it('is refused where its ticket was used already and no token is stored', async () => {
    const { port } = await startServer();
    const { connection } = connect(port, [], 'used');
    await expect(connection.request('getStatus', {})).rejects.toMatchObject({ code: 'not-authorised' });
    expect(connection.getLinkState()).toBe('refused');
  });

  it('is refused without any token', () => {
    const { connection } = connect(1, []);
    expect(connection.getLinkState()).toBe('refused');
  });

  it('says lost, not refused, where nobody answers, and connects once somebody does', async () => {
    const { server, port } = await startServer();
    await server.stop();
    const { connection } = connect(port);
    await reach(connection, 'lost');
    await startServer('right', port);
    await reach(connection, 'open');
  });
});
