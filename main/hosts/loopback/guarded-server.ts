import type { AddressInfo, Socket } from 'node:net';
import helmet from '@fastify/helmet';
import fastifyWebsocket, { type WebSocket } from '@fastify/websocket';
import createFastify, { type FastifyInstance, type FastifyReply, type FastifyRequest } from 'fastify';
import { wireProtocol } from '../../../shared-lib/wire-codec.ts';
import type { Logger } from '../../platform/logger.ts';
import { contentSecurityPolicy } from '../content-security-policy.ts';
import { credentialIn, isOwnOrigin, loopbackAddress, whyRefused } from './origin-guard.ts';

/** What a connection may take before it is cut off. Whoever is let in as a window is exempt from the times. */
export interface DoorLimits {
  /** From the connection to the end of the head of a request. */
  readonly headMs: number;
  /** Without a byte that went either way. */
  readonly idleMs: number;
  /** At once; each holds a file handle, and the trial that records needs some too. */
  readonly connections: number;
}

export const usualLimits: DoorLimits = { headMs: 5000, idleMs: 15_000, connections: 128 };

/** Each refusal is a line in the log, written at once: a hostile page that tries without end must not fill the disk. */
const MOST_LOGGED_REFUSALS = 50;
const LONGEST_LOGGED_ORIGIN = 100;
/** Time for the last answers and the closing handshake. */
const FAREWELL_MS = 500;

export interface GuardedServerOptions {
  readonly log: Logger;
  /** Of a message that a window sends; a longer one is cut off before it is read. */
  readonly largestMessageBytes: number;
  /** By what it shows for itself; asked once for each that comes from the door's own page. */
  readonly isLetIn: (credential: string) => boolean;
  readonly accept: (socket: WebSocket, credential: string) => void;
  /** For the log and for whoever was refused. */
  readonly words: { readonly refused: string; readonly hint: string };
  readonly limits: DoorLimits;
}

export interface GuardedServer {
  /** For the files of the page. */
  readonly server: FastifyInstance;
  portInUse(): number;
  /** After the windows were told; whoever does not hang up is cut off. */
  close(): Promise<void>;
}

/** A server that answers its own page alone: what both doors, the window's and the overlay's, have in common. */
export async function createGuardedServer(options: GuardedServerOptions): Promise<GuardedServer> {
  const { log, limits, words } = options;
  const server = createFastify({
    http: { headersTimeout: limits.headMs, connectionsCheckingInterval: limits.headMs / 5 },
    requestTimeout: limits.headMs,
    connectionTimeout: limits.idleMs,
    keepAliveTimeout: limits.idleMs,
    forceCloseConnections: true,
    // No route has a schema; the compilers that come with the library would be read and run at each start all the same.
    schemaController: {
      compilersFactory: { buildValidator: refuseSchema, buildSerializer: refuseSchema },
    },
    frameworkErrors(_error, _request, reply) {
      void refuse(reply, 400, 'This is no address of a page.\n');
    },
  });
  server.server.maxConnections = limits.connections;
  const connections = new Set<Socket>();
  server.server.on('connection', (connection) => {
    connections.add(connection);
    connection.on('close', () => connections.delete(connection));
  });
  const portInUse = (): number => (server.server.address() as AddressInfo).port;
  const logRefusal = createRefusalLog(log, words.refused);

  // First of all, since a refusal is to tell other pages as little as a file does.
  await server.register(helmet, { strictTransportSecurity: false, contentSecurityPolicy: false });
  server.addHook('onRequest', async (_request, reply) => {
    const socketOrigin = `ws://${loopbackAddress}:${String(portInUse())}`;
    reply.header('Content-Security-Policy', contentSecurityPolicy(socketOrigin));
  });
  server.addHook('onRequest', async (request, reply) => {
    const refusal = whyRefused(request.raw, portInUse());
    return refusal === null ? undefined : refuse(reply, refusal.code, refusal.text);
  });
  // What an error says of the machine, such as a path, is for the log.
  server.setErrorHandler((error, _request, reply) => {
    if (isRequestsFault(error)) return refuse(reply, 404, 'There is no such file.\n');
    log.error('a file of the page could not be served', { cause: error });
    return refuse(reply, 500, 'This could not be served. The log of the program says why.\n');
  });
  await server.register(fastifyWebsocket, {
    options: {
      maxPayload: options.largestMessageBytes,
      // Without this the first protocol asked for would be chosen, which is the same, but not on purpose.
      handleProtocols: () => wireProtocol,
    },
  });
  server.route({
    method: 'GET',
    url: '/socket',
    preValidation: async (request, reply) => {
      const { origin } = request.headers;
      if (isOwnOrigin(origin, portInUse()) && options.isLetIn(shownBy(request))) return undefined;
      logRefusal(origin ?? 'no origin');
      return refuse(reply, 403, words.hint);
    },
    handler: async (_request, reply) => reply.code(426).type('text/plain').send('This is a WebSocket.\n'),
    wsHandler: (socket, request) => {
      options.accept(socket, shownBy(request));
    },
  });

  return {
    server,
    portInUse,
    async close() {
      // A page that is held in a debugger, or a program that does not hang up, must not keep this one.
      const cutOff = setTimeout(() => {
        for (const connection of connections) connection.destroy();
      }, FAREWELL_MS);
      await server.close();
      clearTimeout(cutOff);
    },
  };
}

function shownBy(request: FastifyRequest): string {
  return credentialIn(request.headers['sec-websocket-protocol']);
}

function refuseSchema(): never {
  throw new Error('No route of this server has a schema');
}

/** Hangs up as well: a connection that asked to become a socket is not closed by the server of its own accord. */
function refuse(reply: FastifyReply, code: number, text: string): FastifyReply {
  const { socket } = reply.request.raw;
  reply.raw.once('finish', () => {
    socket.destroySoon();
  });
  return reply.code(code).type('text/plain').send(text);
}

/** A path that leads out, or is no path: the library that finds files says so by a status of 400 to 499. */
function isRequestsFault(error: unknown): boolean {
  if (!(error instanceof Error)) return false;
  const isTooLong = 'code' in error && error.code === 'ENAMETOOLONG';
  const status = 'statusCode' in error ? Number(error.statusCode) : 500;
  return isTooLong || (status >= 400 && status < 500);
}

function createRefusalLog(log: Logger, message: string): (origin: string) => void {
  let count = 0;
  return (origin) => {
    count += 1;
    if (count > MOST_LOGGED_REFUSALS) return;
    log.warn(message, { address: origin.slice(0, LONGEST_LOGGED_ORIGIN) });
    if (count === MOST_LOGGED_REFUSALS) log.warn('further refusals of this start are not logged');
  };
}
