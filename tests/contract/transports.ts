import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { vi } from 'vitest';
import WebSocket from 'ws';
import { createDispatcher } from '../../main/dispatch-request.ts';
import { startLoopbackServer } from '../../main/hosts/loopback/loopback-server.ts';
import { createLogger, type Logger } from '../../main/platform/logger.ts';
import { IpcConnection } from '../../renderer/api-client/ipc-connection.ts';
import { WebSocketConnection } from '../../renderer/api-client/websocket-connection.ts';
import type { Connection, Reply } from '../../shared-lib/api-contract.ts';
import type { PreloadBridge } from '../../shared-lib/preload-bridge.ts';
import { decodeWireMessage, wireProtocol } from '../../shared-lib/wire-codec.ts';
import { ElectronStandIn } from '../helpers/electron-stand-in.ts';
import type { ScriptedServices } from '../helpers/scripted-services.ts';

/** A window connected to services over one of the two doors. */
export interface OpenTransport {
  readonly connection: Connection;
  /** A request as it comes from a window that keeps to no contract. */
  rawRequest(name: unknown, params: unknown): Promise<Reply>;
  /** The link breaks without a word. */
  breakOff(): void;
  beginShutdown(): void;
  close(): Promise<void>;
}

export interface Transport {
  readonly name: string;
  open(services: ScriptedServices, log: Logger): Promise<OpenTransport>;
}

export const silentLog = createLogger(() => undefined);

/** A browser names its page as the origin of a socket; ws has to be told. */
export function openPageSocket(url: string, protocols: string[], origin?: string): WebSocket {
  const socket = new WebSocket(url, protocols, {
    origin: origin ?? url.replace('ws:', 'http:').replace('/socket', ''),
  });
  socket.binaryType = 'arraybuffer';
  return socket;
}

/** The page as far as the server needs it, in a folder inside one that the test has for itself. */
export async function createPageFolder(): Promise<string> {
  const folder = join(await mkdtemp(join(tmpdir(), 'proofarm-page-')), 'page');
  await mkdir(folder);
  await writeFile(join(folder, 'index.html'), '<!doctype html><title>page</title>');
  return folder;
}

export async function removePageFolder(pageFolder: string): Promise<void> {
  await rm(dirname(pageFolder), { recursive: true });
}

const loopback: Transport = {
  name: 'loopback socket',
  async open(services, log) {
    const rendererFolder = await createPageFolder();
    const server = await startLoopbackServer({ services, rendererFolder, port: 0, log, checksResults: true });
    const url = `ws://127.0.0.1:${String(server.port)}/socket`;
    const pageSockets: WebSocket[] = [];
    vi.stubGlobal('WebSocket', function PageWebSocket(address: string, protocols: string[]) {
      const socket = openPageSocket(address, protocols);
      pageSockets.push(socket);
      return socket;
    });
    const connection = new WebSocketConnection({
      url,
      tokens: { candidates: () => [server.token], accepted: () => undefined },
    });
    return {
      connection,
      async rawRequest(name, params) {
        const socket = openPageSocket(url, [wireProtocol, `token.${server.token}`]);
        const reply = await new Promise<Reply>((resolve, reject) => {
          socket.on('open', () => {
            socket.send(JSON.stringify({ kind: 'request', id: 1, name, params }));
          });
          socket.on('message', (data, isBinary) => {
            const message = decodeWireMessage(isBinary ? (data as ArrayBuffer) : textOf(data));
            if (message.kind === 'reply' && message.id === 1) resolve(message.reply);
          });
          socket.on('error', reject);
          socket.on('close', (code) => {
            reject(new Error(`closed with ${String(code)} and no answer`));
          });
        });
        socket.terminate();
        return reply;
      },
      breakOff() {
        for (const socket of pageSockets) socket.terminate();
      },
      beginShutdown() {
        server.beginShutdown();
      },
      async close() {
        connection.close();
        await server.close();
        vi.unstubAllGlobals();
        await removePageFolder(rendererFolder);
      },
    };
  },
};

const desktop: Transport = {
  name: 'desktop bridge',
  async open(services, log) {
    const electron = new ElectronStandIn();
    vi.resetModules();
    vi.doMock('electron', () => electron.module());
    const { serveWindow } = await import('../../main/hosts/electron/ipc-transport.ts');
    await import('../../main/hosts/electron/preload.ts');
    const dispatcher = createDispatcher(services.handlers, log, { checksResults: true });
    const stopServing = serveWindow(electron.webContents as never, dispatcher, services, log);
    const bridge = electron.exposed.get('proofarm') as PreloadBridge;
    return {
      connection: new IpcConnection(bridge),
      rawRequest: (name, params) => bridge.request(name as string, params),
      breakOff() {
        electron.breakOff();
      },
      beginShutdown() {
        dispatcher.beginShutdown();
      },
      close() {
        stopServing();
        vi.doUnmock('electron');
        return Promise.resolve();
      },
    };
  },
};

export const transports: readonly Transport[] = [loopback, desktop];

export function textOf(data: WebSocket.RawData): string {
  return Buffer.isBuffer(data) ? data.toString('utf8') : Buffer.from(data as ArrayBuffer).toString('utf8');
}
