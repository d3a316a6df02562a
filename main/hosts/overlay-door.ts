import { join } from 'node:path';
import fastifyStatic from '@fastify/static';
import type { WebSocket } from '@fastify/websocket';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../shared-lib/app-error.ts';
import { OVERLAY_EVENT, type OverlayFrame } from '../../shared-lib/overlay/overlay-model.ts';
import { encodeWireMessage, type WireFrame } from '../../shared-lib/wire-codec.ts';
import type { OverlayDoor, OverlayDoorOptions } from '../platform/platform.ts';
import { createGuardedServer, usualLimits } from './loopback/guarded-server.ts';
import { isToken, loopbackAddress, originOf } from './loopback/origin-guard.ts';
import { rendererFolder } from './program-files.ts';

/** The built page of the overlay; the window's own page lies outside of it. */
const overlayFolder = join(rendererFolder, 'overlay');

/** Nothing is ever asked for over it; a longer frame is cut off before it is read. */
const LARGEST_FRAME_BYTES = 1024;
/** A viewer that does not read would fill the memory; it is cut off, comes back by itself and is told all anew. */
const STUCK_VIEWER_BYTES = 8 * 1024 * 1024;
/** Close codes of RFC 6455, section 7.4.1. */
const closeCode = { goingAway: 1001, policyViolation: 1008 } as const;

/**
 * Serves the overlay page and its socket, and nothing else, to whoever has the token. The socket only tells: whatever comes in over
 * it closes it.
 *
 * Errors: AppError 'overlay-unavailable' where the port is taken or may not be opened.
 */
export async function startOverlayDoor(
  options: OverlayDoorOptions,
  pageFolder = overlayFolder,
  limits = usualLimits,
): Promise<OverlayDoor> {
  const { port, token, log } = options;
  const viewers = new Set<WebSocket>();

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

  const guarded = await createGuardedServer({
    log,
    largestMessageBytes: LARGEST_FRAME_BYTES,
    isLetIn: (credential) => isToken(credential, token),
    accept,
    words: { refused: 'an overlay was refused', hint: 'Copy the address of the overlay from Share.\n' },
    limits,
  });
  const { server } = guarded;
  await servePage(server, pageFolder);
  await listen(server, port);

  return {
    url: `${originOf(guarded.portInUse())}/#token=${token}`,
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
      await guarded.close();
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
