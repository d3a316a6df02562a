import type http from 'node:http';
import WebSocket from 'ws';
import { wireProtocol } from '../../shared-lib/wire-codec.ts';
import { makeDataFolder } from '../../tests/helpers/running-services.ts';
import { handshakeOutcome, requestRaw } from '../../tests/helpers/raw-requests.ts';
import { startProgram } from '../../tests/helpers/running-program.ts';
import { sendRaw } from '../../tests/helpers/raw-connection.ts';
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

/** What a browser says of its own accord where a page of another site asks. */
const foreignFetches = [
  { 'Sec-Fetch-Site': 'cross-site', 'Sec-Fetch-Mode': 'no-cors', 'Sec-Fetch-Dest': 'script' },
  { 'Sec-Fetch-Site': 'same-site', 'Sec-Fetch-Mode': 'cors', 'Sec-Fetch-Dest': 'empty' },
  { 'Sec-Fetch-Site': 'cross-site', 'Sec-Fetch-Mode': 'navigate', 'Sec-Fetch-Dest': 'iframe' },
  { Origin: 'https://example.test' },
];
/** Lines of a request as no library writes it; the right Host goes with each. */
const trickyRequests: readonly (readonly [requestLine: string, ...headers: readonly string[]])[] = [
  ['GET / HTTP/1.1', 'Host: example.test'],
  ['GET http://example.test/ HTTP/1.1'],
  ['GET * HTTP/1.1'],
  ['CONNECT example.test:80 HTTP/1.1'],
  ['GET / HTTP/1.1', 'Content-Length: 1000000000'],
  ['POST / HTTP/1.1', 'Transfer-Encoding: chunked'],
  ['GET / HTTP/1.1', 'Content-Length: 0', 'Transfer-Encoding: chunked'],
  ['GET / HTTP/1.1', 'X-Trick : 1'],
  ['GET / HTTP/1.1', `X-Trick: ${'x'.repeat(20_000)}`],
  ['GET / HTTP/1.1', 'Upgrade: websocket', 'Connection: Upgrade'],
  // Neither ends: it is cut off, after some seconds.
  ['GET / HTTP/1.1', 'X-Slow: 1', ''],
  [''],
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
  ...foreignFetches.map((headers): Probe => ({
    name: `page for ${JSON.stringify(headers)}`,
    knock: (door) => get(door, '/', { host: `127.0.0.1:${door.port}`, ...headers }),
    isRefusal: isRefusedPage,
  })),
  {
    name: 'socket that a browser says is of another site, with the token',
    knock: (door) =>
      openSocket(door, door.token, { origin: ownOrigin(door), headers: { 'Sec-Fetch-Site': 'cross-site' } }),
    isRefusal: isRefusedSocket,
  },
  ...trickyRequests.map(([requestLine, ...headers]): Probe => ({
    name: `request "${[requestLine, ...headers].join(', ').slice(0, 60)}"`,
    knock: (door) => sendTricky(door, requestLine, headers),
    isRefusal: (answer) => !answer.startsWith('200'),
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
      note: `Wrong Host, Origin and token, requests of other pages, paths that lead out, other methods, bodies, requests that can be read as two or that never end, against the program as it starts. ${holes.join('; ')} Baseline: 2 requests of the program's own page and socket, which must be let in.`,
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

/** Reads until the other side hangs up, as it does after each refusal. A last line that is '' leaves the head open. */
async function sendTricky(door: Door, requestLine: string, headers: readonly string[]): Promise<string> {
  if (requestLine === '') return statusOf(await sendRaw(door.port, ''));
  const isOpenEnded = headers.at(-1) === '';
  const lines = [requestLine, `Host: 127.0.0.1:${door.port}`, ...headers.filter((line) => line !== '')];
  return statusOf(await sendRaw(door.port, `${lines.join('\r\n')}\r\n${isOpenEnded ? '' : '\r\n'}`));
}

function statusOf(answer: string): string {
  return /^HTTP\/1\.1 (\d{3})/.exec(answer)?.[1] ?? 'hung up';
}

function openSocket(
  door: Door,
  token: string | null,
  options: { origin?: string; headers?: Record<string, string> },
): Promise<string> {
  const protocols = token === null ? [wireProtocol] : [wireProtocol, `token.${token}`];
  return handshakeOutcome(new WebSocket(`ws://127.0.0.1:${door.port}/socket`, protocols, options));
}
