import type http from 'node:http';
import WebSocket from 'ws';
import { wireProtocol } from '../../shared-lib/wire-codec.ts';
import { makeDataFolder } from '../../tests/helpers/running-services.ts';
import { handshakeOutcome, requestRaw } from '../../tests/helpers/raw-requests.ts';
import { startProgram } from '../../tests/helpers/running-program.ts';
import type { Figure } from '../measured-figures.ts';

interface Door {
  readonly port: number;
  readonly token: string;
}

interface Probe {
  readonly name: string;
  /** 'open' or a status; what is not refused is a hole. */
  readonly knock: (door: Door) => Promise<string>;
  readonly isRefusal: (answer: string) => boolean;
}

const foreignHosts = [
  'example.test',
  'example.test:80',
  '127.0.0.1.example.test',
  '0.0.0.0',
  '[::1]',
  '127.0.0.1',
  'localhost',
];
const foreignOrigins = [
  'http://example.test',
  'https://127.0.0.1',
  'http://127.0.0.1',
  'http://localhost.example.test',
  'null',
  'file://',
];
const outsidePaths = [
  '/../package.json',
  '/..%2f..%2fpackage.json',
  '/%2e%2e/%2e%2e/package.json',
  '/assets/../../main/loopback-main.js',
  '/assets/..%5c..%5cpackage.json',
  '//etc/passwd',
  '/assets/%00',
];

/** The page is the answer to any place of the program; everything else must not be there. */
const isRefusedPage = (answer: string): boolean => /^(400|403|404|421)/.test(answer);
const isRefusedSocket = (answer: string): boolean => answer !== 'open';

const probes: readonly Probe[] = [
  ...foreignHosts.map((host): Probe => ({
    name: `page for host "${host}"`,
    knock: (door) => get(door, '/', { host }),
    isRefusal: isRefusedPage,
  })),
  ...foreignHosts.map((host): Probe => ({
    name: `socket for host "${host}"`,
    knock: (door) => openSocket(door, door.token, { headers: { host } }),
    isRefusal: isRefusedSocket,
  })),
  ...foreignOrigins.map((origin): Probe => ({
    name: `socket from ${origin}, with the token`,
    knock: (door) => openSocket(door, door.token, { origin }),
    isRefusal: isRefusedSocket,
  })),
  ...['', 'wrong', 'A'.repeat(43), 'A'.repeat(100_000 / 10)].map((token): Probe => ({
    name: `socket with a wrong token of ${token.length} characters`,
    knock: (door) => openSocket(door, token, { origin: ownOrigin(door) }),
    isRefusal: isRefusedSocket,
  })),
  {
    name: 'socket without a token',
    knock: (door) => openSocket(door, null, { origin: ownOrigin(door) }),
    isRefusal: isRefusedSocket,
  },
  {
    name: 'socket without an origin',
    knock: (door) => openSocket(door, door.token, {}),
    isRefusal: isRefusedSocket,
  },
  ...outsidePaths.map((path): Probe => ({
    name: `file outside by ${path}`,
    knock: (door) => get(door, path, { host: `127.0.0.1:${door.port}` }),
    // A path that is no file of the program may be one of its places, which is answered with the page.
    isRefusal: (answer) => isRefusedPage(answer) || answer === '200 page',
  })),
  ...['POST', 'PUT', 'DELETE', 'OPTIONS', 'TRACE'].map((method): Probe => ({
    name: `${method} /`,
    knock: (door) => get(door, '/', { host: `127.0.0.1:${door.port}` }, method),
    isRefusal: (answer) => !answer.startsWith('200'),
  })),
];

/** F7: knocks at the door of the running program as a hostile page or machine would. */
export async function measureDoor(): Promise<Figure> {
  const folder = makeDataFolder();
  const program = await startProgram(folder.path);
  try {
    const door = doorOf(program.url);
    const holes: string[] = [];
    for (const probe of probes) {
      const answer = await probe.knock(door);
      if (!probe.isRefusal(answer)) holes.push(`${probe.name}: ${answer}`);
    }
    const ownPage = await get(door, '/', { host: `127.0.0.1:${door.port}` });
    const ownSocket = await openSocket(door, door.token, { origin: ownOrigin(door) });
    const isOwnLetIn = ownPage === '200 page' && ownSocket === 'open';
    return {
      value: holes.length,
      unit: `of ${probes.length} hostile requests let in`,
      baseline: isOwnLetIn ? 2 : 0,
      limit: 0,
      met: holes.length === 0 && isOwnLetIn,
      note: `Wrong Host, Origin and token, paths that lead out, other methods, against the program as it starts. ${holes.join('; ')} Baseline: 2 requests of the program's own page and socket, which must be let in.`,
    };
  } finally {
    await program.end();
    folder.remove();
  }
}

function doorOf(url: string): Door {
  const { port, hash } = new URL(url);
  return { port: Number(port), token: hash.replace('#token=', '') };
}

const ownOrigin = (door: Door): string => `http://127.0.0.1:${door.port}`;

async function get(
  door: Door,
  path: string,
  headers: http.OutgoingHttpHeaders,
  method = 'GET',
): Promise<string> {
  try {
    const { status, body } = await requestRaw(door.port, path, headers, method);
    return `${status}${body.includes('<div id="app">') ? ' page' : ''}`;
  } catch (error) {
    // A request so wrong that the connection is cut.
    return `400 ${String(error)}`;
  }
}

function openSocket(
  door: Door,
  token: string | null,
  options: { origin?: string; headers?: Record<string, string> },
): Promise<string> {
  const protocols = token === null ? [wireProtocol] : [wireProtocol, `token.${token}`];
  return handshakeOutcome(new WebSocket(`ws://127.0.0.1:${door.port}/socket`, protocols, options));
}
