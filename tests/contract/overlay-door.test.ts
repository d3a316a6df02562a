import { mkdir, writeFile } from 'node:fs/promises';
import type http from 'node:http';
import net from 'node:net';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type WebSocket from 'ws';
import { startOverlayDoor } from '../../main/hosts/overlay-door.ts';
import { createLogger } from '../../main/platform/logger.ts';
import type { OverlayDoor } from '../../main/platform/platform.ts';
import type { OverlayFrame } from '../../shared-lib/overlay/overlay-model.ts';
import { decodeWireMessage, wireProtocol } from '../../shared-lib/wire-codec.ts';
import { handshakeOutcome, type RawAnswer, requestRaw } from '../helpers/raw-requests.ts';
import { createPageFolder, openPageSocket, removePageFolder } from './transports.ts';

const token = 'Tq3-_x'.repeat(7);

describe('the door of the overlay', () => {
  let pageFolder: string;
  let door: OverlayDoor;
  let port: number;
  let origin: string;
  let logged: string[];
  let greeting: OverlayFrame[];
  let viewers: number[];

  beforeEach(async () => {
    pageFolder = await createPageFolder();
    await mkdir(join(pageFolder, 'assets'));
    await writeFile(join(pageFolder, 'assets', 'overlay-1a2b.js'), 'void 0;');
    await writeFile(join(pageFolder, '..', 'index.html'), 'the window’s own page');
    logged = [];
    greeting = [{ kind: 'clock', hostUs: 42 }];
    viewers = [];
    door = await open(0);
    port = Number(new URL(door.url).port);
    origin = `http://127.0.0.1:${String(port)}`;
  });
  afterEach(async () => {
    await door.close();
    await removePageFolder(pageFolder);
  });

  const open = (wanted: number): Promise<OverlayDoor> =>
    startOverlayDoor(
      {
        port: wanted,
        token,
        log: createLogger((line) => logged.push(line)),
        greet: () => greeting,
        onViewers: (count) => viewers.push(count),
      },
      pageFolder,
    );
  const get = (path: string, headers: http.OutgoingHttpHeaders = {}, method = 'GET'): Promise<RawAnswer> =>
    requestRaw(port, path, headers, method);
  const socketUrl = (): string => `ws://127.0.0.1:${String(port)}/socket`;
  const protocols = (sent = token): string[] => [wireProtocol, `token.${sent}`];
  const watch = (): { socket: WebSocket; seen: unknown[]; ended: Promise<number> } => {
    const socket = openPageSocket(socketUrl(), protocols());
    const seen: unknown[] = [];
    socket.on('message', (data, isBinary) => {
      const message = decodeWireMessage(
        isBinary ? (data as ArrayBuffer) : Buffer.from(data as ArrayBuffer).toString(),
      );
      seen.push(message.kind === 'event' ? message.payload : message);
    });
    return { socket, seen, ended: new Promise((resolve) => socket.on('close', resolve)) };
  };

  it('serves its own page and no other, under a strict policy, and never its token', async () => {
    const page = await get('/');
    expect(page.status).toBe(200);
    expect(page.headers['content-security-policy']).toBe(
      "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' data: blob:; " +
        `connect-src 'self' ws://127.0.0.1:${String(port)}; frame-ancestors 'none'; base-uri 'none'; form-action 'none'`,
    );
    expect(page.headers).toMatchObject({ 'x-content-type-options': 'nosniff', 'cache-control': 'no-cache' });
    expect((await get('/assets/overlay-1a2b.js')).status).toBe(200);
    for (const path of [
      '/bench',
      '/share/overlay',
      '/../index.html',
      '/..%2findex.html',
      '/assets/gone.js',
    ]) {
      const { status, body } = await get(path);
      expect(status).toBeGreaterThanOrEqual(400);
      expect(body).not.toContain('own page');
    }
    expect(door.url).toBe(`${origin}/#token=${token}`);
    expect(JSON.stringify(page) + logged.join()).not.toContain(token);
  });

  it.each(['POST', 'PUT', 'DELETE', 'OPTIONS'])('does nothing on %s', async (method) => {
    expect((await get('/', {}, method)).status).toBe(404);
  });

  it('answers on 127.0.0.1 and on no other address of this machine', async () => {
    const answers = (host: string): Promise<boolean> =>
      new Promise((resolve) => {
        const socket = net.connect({ host, port });
        socket.on('connect', () => {
          socket.destroy();
          resolve(true);
        });
        socket.on('error', () => resolve(false));
      });
    expect(await answers('127.0.0.1')).toBe(true);
    expect(await answers('127.0.0.2')).toBe(false);
    expect(await answers('::1')).toBe(false);
  });

  it.each([
    ['another name that points here', () => `evil.example:${String(port)}`],
    ['localhost', () => `localhost:${String(port)}`],
    ['another port', () => '127.0.0.1:80'],
  ])('refuses a request whose Host is %s', async (_, host) => {
    expect((await get('/', { Host: host() })).status).toBe(421);
  });

  it.each([
    ['of another site', () => openPageSocket(socketUrl(), protocols(), 'https://evil.example')],
    ['of the window’s own page', () => openPageSocket(socketUrl(), protocols(), 'http://127.0.0.1:47120')],
    ['with another token', () => openPageSocket(socketUrl(), protocols('A'.repeat(43)))],
    ['with a part of the token', () => openPageSocket(socketUrl(), protocols(token.slice(0, -1)))],
    ['without a token', () => openPageSocket(socketUrl(), [wireProtocol])],
  ])('refuses a socket %s', async (_, socket) => {
    expect(await handshakeOutcome(socket())).toBe('403');
    expect(viewers).toEqual([]);
    expect(logged.join('\n')).not.toContain(token);
  });

  it('tells a page that comes how things stand, and everything from then on', async () => {
    const { socket, seen } = watch();
    await expect.poll(() => seen).toEqual([{ kind: 'clock', hostUs: 42 }]);
    const timeS = Float64Array.of(0.1, Number.NaN);
    const samples: OverlayFrame = {
      kind: 'samples',
      runId: 'a',
      timeS,
      minNm: timeS,
      maxNm: timeS,
      readAtUs: 7,
    };
    door.send(samples);
    await expect.poll(() => seen[1]).toEqual(samples);
    expect(viewers).toEqual([1]);
    socket.close();
    await expect.poll(() => viewers).toEqual([1, 0]);
  });

  it.each([
    ['a request', '{"kind":"request","id":1,"name":"getStatus","params":{}}'],
    ['a word', 'hello'],
    ['bytes', Buffer.from([1, 2, 3])],
  ])('hangs up on a viewer that sends %s, answers nothing, and goes on for the others', async (_, sent) => {
    const good = watch();
    const bad = watch();
    await expect.poll(() => good.seen.length + bad.seen.length).toBe(2);
    bad.socket.send(sent);
    expect(await bad.ended).toBe(1008);
    expect(bad.seen).toHaveLength(1);
    door.send({ kind: 'clock', hostUs: 43 });
    await expect.poll(() => good.seen).toHaveLength(2);
    good.socket.terminate();
  });

  it('cuts off a viewer that sends more than any message could be', async () => {
    const bad = watch();
    await expect.poll(() => bad.seen.length).toBe(1);
    bad.socket.send('x'.repeat(5000));
    expect(await bad.ended).toBe(1009);
  });

  it('says what to do where its port is taken, and leaves the one that has it alone', async () => {
    await expect(open(port)).rejects.toMatchObject({
      code: 'overlay-unavailable',
      message: expect.stringMatching(/is taken by another program.*Choose another port/s) as string,
    });
    expect((await get('/')).status).toBe(200);
  });

  it('frees its port and says goodbye when it is closed', async () => {
    const { seen, ended } = watch();
    await expect.poll(() => seen.length).toBe(1);
    await door.close();
    expect(await ended).toBe(1001);
    door = await open(port);
    expect((await get('/')).status).toBe(200);
  });
});
