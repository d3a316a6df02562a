import type { AddressInfo, Socket } from 'node:net';
import { join } from 'node:path';
import fastifyStatic from '@fastify/static';
import helmet from '@fastify/helmet';
import fastifyWebsocket, { type WebSocket } from '@fastify/websocket';
import createFastify, { type FastifyInstance, type FastifyReply } from 'fastify';
import { AppError } from '../../shared-lib/app-error.ts';
import { OVERLAY_EVENT, type OverlayFrame } from '../../shared-lib/overlay/overlay-model.ts';
import { encodeWireMessage, type WireFrame, wireProtocol } from '../../shared-lib/wire-codec.ts';
import type { OverlayDoor, OverlayDoorOptions } from '../platform/platform.ts';
import { contentSecurityPolicy } from './content-security-policy.ts';
import { hasToken, isOwnHost, isOwnOrigin, loopbackAddress, originOf } from './loopback/origin-guard.ts';
import { rendererFolder } from './program-files.ts';

/** The built page of the overlay; the window's own page lies outside of it. */
const overlayFolder = join(rendererFolder, 'overlay');

/** Nothing is ever asked for over it; a longer frame is cut off before it is read. */
const LARGEST_FRAME_BYTES = 1024;
/** A viewer that does not read would fill the memory; it is cut off, comes back by itself and is told all anew. */
const STUCK_VIEWER_BYTES = 8 * 1024 * 1024;
/** Close codes of RFC 6455, section 7.4.1. */
const closeCode = { goingAway: 1001, policyViolation: 1008 } as const;
const FAREWELL_MS = 500;

/**
 * Serves the overlay page and its socket, and nothing else, to whoever has the token. The socket only tells: whatever comes in over
 * it closes it.
 *
 * Errors: AppError 'overlay-unavailable' where the port is taken or may not be opened.
 */
export async function startOverlayDoor(
  options: OverlayDoorOptions,
  pageFolder = overlayFolder,
): Promise<OverlayDoor> {
  const { port, token, log } = options;
  const server = createFastify({ bodyLimit: 1024, requestTimeout: 10_000, forceCloseConnections: true });
  const connections = new Set<Socket>();
  const viewers = new Set<WebSocket>();
  server.server.on('connection', (connection) => {
    connections.add(connection);
    connection.on('close', () => connections.delete(connection));
  });
  const portInUse = (): number => (server.server.address() as AddressInfo).port;

  const accept = (viewer: WebSocket): void => {
    viewer.on('message', () => {
      log.warn('an overlay sent something, which none of ours does; its connection was closed');
      viewer.close(closeCode.policyViolation, 'this socket only tells');
    });
    // Frames over the limit end up here; ws closes the connection by itself.
    viewer.on('error', (error) => {
      log.warn('the connection of an overlay failed', { cause: error });
    });
    viewer.on('close', () => {
      viewers.delete(viewer);
      options.onViewers(viewers.size);
    });
    for (const frame of options.greet()) viewer.send(encode(frame));
    viewers.add(viewer);
    options.onViewers(viewers.size);
  };

  server.addHook('onRequest', async (request, reply) => {
    if (isOwnHost(request.headers.host, portInUse())) return undefined;
    return refuse(reply, 421, 'This address is served to itself only.\n');
  });
  await server.register(helmet, { strictTransportSecurity: false, contentSecurityPolicy: false });
  server.addHook('onRequest', async (_request, reply) => {
    const socketOrigin = `ws://${loopbackAddress}:${String(portInUse())}`;
    reply.header('Content-Security-Policy', contentSecurityPolicy(socketOrigin));
  });
  await server.register(fastifyWebsocket, {
    options: { maxPayload: LARGEST_FRAME_BYTES, handleProtocols: () => wireProtocol },
  });
  server.route({
    method: 'GET',
    url: '/socket',
    preValidation: async (request, reply) => {
      const isKnown =
        isOwnOrigin(request.headers.origin, portInUse()) &&
        hasToken(request.headers['sec-websocket-protocol'], token);
      if (isKnown) return undefined;
      log.warn('an overlay was refused', { address: request.headers.origin ?? 'no origin' });
      return refuse(reply, 403, 'Copy the address of the overlay from Share.\n');
    },
    handler: async (_request, reply) => reply.code(426).type('text/plain').send('This is a WebSocket.\n'),
    wsHandler: accept,
  });
  await servePage(server, pageFolder);
  await listen(server, port);

  return {
    url: `${originOf(portInUse())}/#token=${token}`,
    send(frame) {
      if (viewers.size === 0) return;
      const encoded = encode(frame);
      for (const viewer of viewers) {
        if (viewer.bufferedAmount > STUCK_VIEWER_BYTES) {
          log.warn('an overlay does not read; its connection was cut', { count: viewer.bufferedAmount });
          viewer.terminate();
        } else {
          viewer.send(encoded);
        }
      }
    },
    async close() {
      for (const viewer of viewers) viewer.close(closeCode.goingAway, 'the overlay was switched off');
      // A viewer that is held in a debugger must not keep the program.
      const cutOff = setTimeout(() => {
        for (const connection of connections) connection.destroy();
      }, FAREWELL_MS);
      await server.close();
      clearTimeout(cutOff);
    },
  };
}

function encode(frame: OverlayFrame): WireFrame {
  return encodeWireMessage({ kind: 'event', name: OVERLAY_EVENT, payload: frame });
}

async function servePage(server: FastifyInstance, pageFolder: string): Promise<void> {
  await server.register(fastifyStatic, {
    root: pageFolder,
    dotfiles: 'deny',
    cacheControl: false,
    setHeaders(reply, path) {
      const isHashed = path.includes('/assets/') || path.includes('\\assets\\');
      reply.header('Cache-Control', isHashed ? 'private, max-age=31536000, immutable' : 'no-cache');
    },
  });
  server.setNotFoundHandler((_request, reply) =>
    reply.code(404).type('text/plain').send('There is no such file.\n'),
  );
}

/** Hangs up as well: a connection that asked to become a socket is not closed by the server of its own accord. */
function refuse(reply: FastifyReply, code: number, text: string): FastifyReply {
  const { socket } = reply.request.raw;
  reply.raw.once('finish', () => {
    socket.destroySoon();
  });
  return reply.code(code).type('text/plain').send(text);
}

async function listen(server: FastifyInstance, port: number): Promise<void> {
  try {
    await server.listen({ host: loopbackAddress, port });
  } catch (error) {
    await server.close();
    const reason = reasonOf(error);
    if (reason === null) throw error;
    throw new AppError(
      'overlay-unavailable',
      `The overlay could not be served: port ${String(port)} of this machine ${reason}. Nothing else is affected and no data was changed. Choose another port under Share, Overlay, and copy the new address into the capture program.`,
      { port },
      error,
    );
  }
}

function reasonOf(error: unknown): string | null {
  const code = error instanceof Error && 'code' in error ? error.code : null;
  if (code === 'EADDRINUSE') return 'is taken by another program';
  return code === 'EACCES' ? 'may not be opened by this account' : null;
}
