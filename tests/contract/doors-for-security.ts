import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type WebSocket from 'ws';
import { type DoorLimits, usualLimits } from '../../main/hosts/loopback/guarded-server.ts';
import { startLoopbackServer } from '../../main/hosts/loopback/loopback-server.ts';
import { startOverlayDoor } from '../../main/hosts/overlay-door.ts';
import { createLogger } from '../../main/platform/logger.ts';
import { wireProtocol } from '../../shared-lib/wire-codec.ts';
import { createScriptedServices } from '../helpers/scripted-services.ts';
import { createPageFolder, openPageSocket, removePageFolder } from './transports.ts';

/** Either of the two doors on the network, as an attacker finds it: a page, its files and a socket with a token. */
export interface OpenDoor {
  readonly port: number;
  readonly origin: string;
  readonly token: string;
  readonly pageFolder: string;
  readonly logged: readonly string[];
  /** Windows that are let in. */
  windowCount(): number;
  /** Tells every window so many bytes. */
  tell(bytes: number): void;
  close(): Promise<void>;
}

export const doors: readonly { name: string; open(limits?: Partial<DoorLimits>): Promise<OpenDoor> }[] = [
  {
    name: 'door of the window',
    async open(limits = {}) {
      const services = createScriptedServices();
      const pageFolder = await createFolder();
      const logged: string[] = [];
      const server = await startLoopbackServer({
        services,
        rendererFolder: pageFolder,
        port: 0,
        log: createLogger((line) => logged.push(line)),
        limits: { ...usualLimits, ...limits },
      });
      return {
        port: server.port,
        origin: server.origin,
        token: server.token,
        pageFolder,
        logged,
        windowCount: () => server.windowCount(),
        tell(bytes) {
          services.emit('trialsChanged', { trialId: 'x'.repeat(bytes) });
        },
        async close() {
          await server.close();
          await removePageFolder(pageFolder);
        },
      };
    },
  },
  {
    name: 'door of the overlay',
    async open(limits = {}) {
      const pageFolder = await createFolder();
      const logged: string[] = [];
      const token = 'Tq3-_x'.repeat(7);
      let viewers = 0;
      const door = await startOverlayDoor(
        {
          port: 0,
          token,
          log: createLogger((line) => logged.push(line)),
          greet: () => [{ kind: 'clock', hostUs: 1 }],
          onViewers: (count) => (viewers = count),
        },
        pageFolder,
        { ...usualLimits, ...limits },
      );
      const { port, origin } = new URL(door.url);
      return {
        port: Number(port),
        origin,
        token,
        pageFolder,
        logged,
        windowCount: () => viewers,
        tell(bytes) {
          const timeS = new Float64Array(bytes / 8);
          door.send({ kind: 'samples', runId: 'a', timeS, minNm: timeS, maxNm: timeS, readAtUs: 7 });
        },
        async close() {
          await door.close();
          await removePageFolder(pageFolder);
        },
      };
    },
  },
];

/** What lies beside that which is served. */
export const outsideText = 'outside of the page';

async function createFolder(): Promise<string> {
  const folder = await createPageFolder();
  await mkdir(join(folder, 'assets'));
  await writeFile(join(folder, 'assets', 'app-1a2b.js'), 'void 0;');
  await writeFile(join(folder, '..', 'outside.txt'), outsideText);
  await writeFile(join(folder, '.hidden'), outsideText);
  return folder;
}

export function socketOf(door: OpenDoor, protocols = protocolsOf(door)): WebSocket {
  return openPageSocket(`ws://127.0.0.1:${String(door.port)}/socket`, protocols);
}

export function protocolsOf(door: OpenDoor): string[] {
  return [wireProtocol, `token.${door.token}`];
}

/** The head of a request of the door's own page, as a browser would send it, with changes. A header that is null is left out. */
export function headOf(
  door: OpenDoor,
  requestLine: string,
  changes: Readonly<Record<string, string | null>> = {},
): string {
  const headers: Readonly<Record<string, string | null>> = {
    Host: `127.0.0.1:${String(door.port)}`,
    ...changes,
  };
  const lines = Object.entries(headers).flatMap(([name, value]) =>
    value === null ? [] : [`${name}: ${value}`],
  );
  return `${[requestLine, ...lines].join('\r\n')}\r\n\r\n`;
}

/** What makes a request one that would become a socket, with the token. */
export function upgradeOf(door: OpenDoor): Record<string, string> {
  return {
    Origin: door.origin,
    Connection: 'Upgrade',
    Upgrade: 'websocket',
    'Sec-WebSocket-Version': '13',
    'Sec-WebSocket-Key': 'dGhlIHNhbXBsZSBub25jZQ==',
    'Sec-WebSocket-Protocol': protocolsOf(door).join(', '),
  };
}
