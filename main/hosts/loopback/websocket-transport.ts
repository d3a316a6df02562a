import { randomUUID } from 'node:crypto';
import type { WebSocket } from '@fastify/websocket';
import type { EventName } from '../../../shared-lib/api-contract.ts';
import { decodeWireMessage, encodeWireMessage, type WireFrame } from '../../../shared-lib/wire-codec.ts';
import { type Dispatcher, internalFailure } from '../../dispatch-request.ts';
import type { Logger } from '../../platform/logger.ts';
import type { Services } from '../../services.ts';

/** Requests carry forms, never samples; the largest are a photo of a tool and a catalogue to import. */
export const largestRequestBytes = 1024 * 1024;

/**
 * A window this far behind gets no live curve until it has caught up: about 10 s of it at the highest rate. It sees a
 * gap (bins are numbered) and nothing is lost in storage; other windows are not held up.
 */
export const slowWindowBytes = 1024 * 1024;

/** A window that does not read at all would fill the memory; it is cut off and may come back. */
export const stuckWindowBytes = 64 * 1024 * 1024;

/** Close codes of RFC 6455, section 7.4.1. */
const closeCode = { goingAway: 1001, notUnderstood: 1007 } as const;

export interface WebSocketTransport {
  accept(socket: WebSocket): void;
  windowCount(): number;
  close(): void;
}

/** Answers the requests of every open window and passes it the events. */
export function createWebSocketTransport(
  dispatcher: Dispatcher,
  services: Pick<Services, 'onEvent'>,
  log: Logger,
): WebSocketTransport {
  const sockets = new Set<WebSocket>();

  async function receive(socket: WebSocket, data: string | Uint8Array): Promise<void> {
    const request = readRequest(data);
    if (request === null) {
      log.warn('a window sent what is not a request; its connection was closed');
      socket.close(closeCode.notUnderstood, 'not a request of this program');
      return;
    }
    const { id } = request;
    const reply = await dispatcher.dispatch(request.name, request.params);
    let frame: WireFrame;
    try {
      frame = encodeWireMessage({ kind: 'reply', id, reply });
    } catch (error) {
      const logId = randomUUID();
      log.error('an answer could not be sent', { logId, cause: error });
      frame = encodeWireMessage({ kind: 'reply', id, reply: { ok: false, error: internalFailure(logId) } });
    }
    socket.send(frame);
  }

  function passOn(name: EventName, payload: unknown): void {
    if (sockets.size === 0) return;
    let frame: WireFrame;
    try {
      frame = encodeWireMessage({ kind: 'event', name, payload });
    } catch (error) {
      log.error('an event could not be sent', { cause: error });
      return;
    }
    for (const socket of sockets) {
      if (socket.bufferedAmount > stuckWindowBytes) {
        log.warn('a window does not read; its connection was cut', { count: socket.bufferedAmount });
        socket.terminate();
      } else if (name !== 'liveCurve' || socket.bufferedAmount <= slowWindowBytes) {
        socket.send(frame);
      }
    }
  }

  const stopListening = services.onEvent(passOn);

  return {
    accept(socket) {
      sockets.add(socket);
      socket.on('message', (data, isBinary) => {
        void receive(socket, isBinary ? bytesOf(data) : bytesOf(data).toString('utf8'));
      });
      socket.on('close', () => sockets.delete(socket));
      // Broken frames and frames over the limit end up here; ws closes the connection by itself.
      socket.on('error', (error) => {
        log.warn('a connection failed', { cause: error });
      });
    },
    windowCount: () => sockets.size,
    close() {
      stopListening();
      for (const socket of sockets) socket.close(closeCode.goingAway, 'the program is closing');
    },
  };
}

function readRequest(data: string | Uint8Array): { id: number; name?: unknown; params?: unknown } | null {
  try {
    const message = decodeWireMessage(data);
    return message.kind === 'request' ? message : null;
  } catch {
    return null;
  }
}

function bytesOf(data: Buffer | ArrayBuffer | Buffer[]): Buffer {
  if (Array.isArray(data)) return Buffer.concat(data);
  return data instanceof ArrayBuffer ? Buffer.from(data) : data;
}
