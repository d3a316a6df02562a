import { randomBytes } from 'node:crypto';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../../shared-lib/app-error.ts';
import { encodeWireMessage } from '../../../shared-lib/wire-codec.ts';
import { createDispatcher } from '../../dispatch-request.ts';
import type { Logger } from '../../platform/logger.ts';
import type { Services } from '../../services.ts';
import { createGuardedServer, type DoorLimits, usualLimits } from './guarded-server.ts';
import { isToken, loopbackAddress, originOf, ticketIn } from './origin-guard.ts';
import { serveRenderer } from './static-files.ts';
import { createWebSocketTransport, largestRequestBytes } from './websocket-transport.ts';
import { createTicketCheck } from './window-tickets.ts';

export interface LoopbackServerOptions {
  readonly services: Pick<Services, 'handlers' | 'onEvent'>;
  /** The built page. */
  readonly rendererFolder: string;
  /** 0: one that is free; null: the usual one or the next that is free. */
  readonly port: number | null;
  readonly log: Logger;
  /** For tests: see DispatcherOptions. */
  readonly checksResults?: boolean;
  /** For tests, which cannot wait as long as slow clients can. */
  readonly limits?: DoorLimits;
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

export async function startLoopbackServer(options: LoopbackServerOptions): Promise<LoopbackServer> {
  const { services, log } = options;
  const token = randomBytes(32).toString('base64url');
  const dispatcher = createDispatcher(services.handlers, log, {
    checksResults: options.checksResults ?? false,
  });
  const transport = createWebSocketTransport(dispatcher, services, log);
  const isGoodTicket = createTicketCheck(token, Date.now);

  const guarded = await createGuardedServer({
    log,
    largestMessageBytes: largestRequestBytes,
    isLetIn(credential) {
      const ticket = ticketIn(credential);
      return ticket === null ? isToken(credential, token) : isGoodTicket(ticket);
    },
    accept(socket, credential) {
      // The ticket is used up; this lets the page in again after a reload.
      if (ticketIn(credential) !== null) socket.send(encodeWireMessage({ kind: 'token', token }));
      transport.accept(socket);
    },
    words: {
      refused: 'a connection was refused',
      hint: 'Open the address that the newest start printed.\n',
    },
    limits: options.limits ?? usualLimits,
  });
  const { server } = guarded;
  await serveRenderer(server, options.rendererFolder);

  await listen(server, options.port);
  const port = guarded.portInUse();
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
      await guarded.close();
    },
  };
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
