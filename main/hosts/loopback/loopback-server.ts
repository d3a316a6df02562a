import { randomBytes } from 'node:crypto';
import type { AddressInfo, Socket } from 'node:net';
import helmet from '@fastify/helmet';
import fastifyWebsocket from '@fastify/websocket';
import createFastify, { type FastifyInstance, type FastifyReply } from 'fastify';
import { AppError } from '../../../shared-lib/app-error.ts';
import { wireProtocol } from '../../../shared-lib/wire-codec.ts';
import { createDispatcher } from '../../dispatch-request.ts';
import type { Logger } from '../../platform/logger.ts';
import type { Services } from '../../services.ts';
import { contentSecurityPolicy } from '../content-security-policy.ts';
import { hasToken, isOwnHost, isOwnOrigin, loopbackAddress, originOf } from './origin-guard.ts';
import { serveRenderer } from './static-files.ts';
import { createWebSocketTransport, largestRequestBytes } from './websocket-transport.ts';

export interface LoopbackServerOptions {
  readonly services: Pick<Services, 'handlers' | 'onEvent'>;
  /** The built page. */
  readonly rendererFolder: string;
  /** 0: one that is free; null: the usual one or the next that is free. */
  readonly port: number | null;
  readonly log: Logger;
  /** For tests: see DispatcherOptions. */
  readonly checksResults?: boolean;
}

export interface LoopbackServer {
  readonly port: number;
  readonly origin: string;
  readonly token: string;
  /** Opens the page with its token. In the fragment, which no browser sends and no log sees. */
  readonly url: string;
  /** How many windows are connected. */
  windowCount(): number;
  /** Answers everything with 'shutting-down' from here on; connections stay, so that the answers arrive. */
  beginShutdown(): void;
  close(): Promise<void>;
}

export const usualPort = 47120;
const portsTried = 20;

/** Time for the last answers and the closing handshake. */
const farewellMs = 500;

export async function startLoopbackServer(options: LoopbackServerOptions): Promise<LoopbackServer> {
  const { services, log } = options;
  const token = randomBytes(32).toString('base64url');
  const dispatcher = createDispatcher(services.handlers, log, {
    checksResults: options.checksResults ?? false,
  });
  const transport = createWebSocketTransport(dispatcher, services, log);

  // The page is read, and everything else goes over the socket: no request has a body.
  const server = createFastify({ bodyLimit: 1024, requestTimeout: 10_000, forceCloseConnections: true });
  const connections = new Set<Socket>();
  server.server.on('connection', (connection) => {
    connections.add(connection);
    connection.on('close', () => connections.delete(connection));
  });
  const portInUse = (): number => (server.server.address() as AddressInfo).port;

  server.addHook('onRequest', async (request, reply) => {
    if (isOwnHost(request.headers.host, portInUse())) return undefined;
    return refuse(reply, 421, 'This address is served to itself only.\n');
  });
  await server.register(helmet, {
    strictTransportSecurity: false,
    contentSecurityPolicy: false,
  });
  server.addHook('onRequest', async (_request, reply) => {
    reply.header(
      'Content-Security-Policy',
      contentSecurityPolicy(`ws://${loopbackAddress}:${String(portInUse())}`),
    );
  });
  await server.register(fastifyWebsocket, {
    options: {
      maxPayload: largestRequestBytes,
      // Without this the first protocol asked for would be chosen, which is the same, but not on purpose.
      handleProtocols: () => wireProtocol,
    },
  });
  server.route({
    method: 'GET',
    url: '/socket',
    preValidation: async (request, reply) => {
      const isKnown =
        isOwnOrigin(request.headers.origin, portInUse()) &&
        hasToken(request.headers['sec-websocket-protocol'], token);
      if (isKnown) return undefined;
      log.warn('a connection was refused', { address: request.headers.origin ?? 'no origin' });
      return refuse(reply, 403, 'Open the address that the newest start printed.\n');
    },
    handler: async (_request, reply) => reply.code(426).type('text/plain').send('This is a WebSocket.\n'),
    wsHandler: (socket) => {
      transport.accept(socket);
    },
  });
  await serveRenderer(server, options.rendererFolder);

  await listen(server, options.port);
  const port = portInUse();
  return {
    port,
    origin: originOf(port),
    token,
    url: `${originOf(port)}/#token=${token}`,
    windowCount: () => transport.windowCount(),
    beginShutdown: () => {
      dispatcher.beginShutdown();
    },
    async close() {
      dispatcher.beginShutdown();
      transport.close();
      // A page that is held in a debugger, or a program that does not hang up, must not keep this one.
      const cutOff = setTimeout(() => {
        for (const connection of connections) connection.destroy();
      }, farewellMs);
      await server.close();
      clearTimeout(cutOff);
    },
  };
}

/** Hangs up as well: a connection that asked to become a socket is not closed by the server of its own accord. */
function refuse(reply: FastifyReply, code: number, text: string): FastifyReply {
  const { socket } = reply.request.raw;
  reply.raw.once('finish', () => {
    socket.destroySoon();
  });
  return reply.code(code).type('text/plain').send(text);
}

async function listen(server: FastifyInstance, port: number | null): Promise<void> {
  const candidates = port === null ? [...Array(portsTried).keys()].map((step) => usualPort + step) : [port];
  for (const candidate of candidates) {
    try {
      await server.listen({ host: loopbackAddress, port: candidate });
      return;
    } catch (error) {
      if (!isPortTaken(error)) throw error;
    }
  }
  throw new AppError(
    'already-running',
    `Port ${candidates.map(String).join(', ')} of this machine is taken by another program. Nothing was started or changed; choose another with --port, or --port 0 for any free one.`,
  );
}

function isPortTaken(error: unknown): boolean {
  return error instanceof Error && 'code' in error && error.code === 'EADDRINUSE';
}
