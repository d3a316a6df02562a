import { mkdir, writeFile } from 'node:fs/promises';
import type http from 'node:http';
import net from 'node:net';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type WebSocket from 'ws';
import { type LoopbackServer, startLoopbackServer } from '../../main/hosts/loopback/loopback-server.ts';
import { largestRequestBytes } from '../../main/hosts/loopback/websocket-transport.ts';
import { withTicket } from '../../main/hosts/loopback/window-tickets.ts';
import { createLogger } from '../../main/platform/logger.ts';
import { wireProtocol } from '../../shared-lib/wire-codec.ts';
import { handshakeOutcome, type RawAnswer, requestRaw } from '../helpers/raw-requests.ts';
import { createScriptedServices, type ScriptedServices } from '../helpers/scripted-services.ts';
import { createPageFolder, openPageSocket, removePageFolder, textOf } from './transports.ts';

describe('the loopback host', () => {
  let services: ScriptedServices;
  let server: LoopbackServer;
  let pageFolder: string;
  let logged: string[];

  beforeEach(async () => {
    services = createScriptedServices();
    services.script('listPorts', () => ({ ports: [] }));
    pageFolder = await createPageFolder();
    await mkdir(join(pageFolder, 'assets'));
    await writeFile(join(pageFolder, 'assets', 'app-1a2b.js'), 'void 0;');
    await writeFile(join(pageFolder, '..', 'proofarm-secret.txt'), 'outside');
    logged = [];
    server = await startLoopbackServer({
      services,
      rendererFolder: pageFolder,
      port: 0,
      log: createLogger((line) => logged.push(line)),
    });
  });
  afterEach(async () => {
    await server.close();
    await removePageFolder(pageFolder);
  });

  function get(path: string, headers: http.OutgoingHttpHeaders = {}, method = 'GET'): Promise<RawAnswer> {
    return requestRaw(server.port, path, headers, method);
  }

  function socketUrl(): string {
    return `ws://127.0.0.1:${String(server.port)}/socket`;
  }

  function protocols(token = server.token): string[] {
    return [wireProtocol, `token.${token}`];
  }

  function ticketOf(url: string, nowMs = Date.now()): string {
    return new URL(withTicket(url, nowMs)).hash.replace('#ticket=', '');
  }

  it('listens on 127.0.0.1 and on no other address of this machine', async () => {
    const isOpen = (host: string): Promise<boolean> =>
      new Promise((resolve) => {
        const socket = net.connect({ host, port: server.port });
        socket.on('connect', () => {
          socket.destroy();
          resolve(true);
        });
        socket.on('error', () => {
          resolve(false);
        });
      });
    expect(await isOpen('127.0.0.1')).toBe(true);
    expect(await isOpen('127.0.0.2')).toBe(false);
    expect(await isOpen('::1')).toBe(false);
  });

  it('makes another token at each start and never sends or logs it', async () => {
    const other = await startLoopbackServer({
      services,
      rendererFolder: pageFolder,
      port: 0,
      log: createLogger((line) => logged.push(line)),
    });
    await other.close();
    expect(other.token).not.toBe(server.token);
    expect(server.token).toMatch(/^[\w-]{43}$/);
    expect(server.url).toBe(`http://127.0.0.1:${String(server.port)}/#token=${server.token}`);
    const page = await get('/');
    expect(JSON.stringify(page)).not.toContain(server.token);
    expect(await handshakeOutcome(openPageSocket(socketUrl(), protocols('wrong')))).toBe('403');
    expect(logged.join('\n')).toContain('a connection was refused');
    expect(logged.join('\n')).not.toContain(server.token);
  });

  it('serves the page and its places with a strict policy and without HSTS', async () => {
    for (const path of ['/', '/bench', '/logbook/0198-trial', '/setup?tab=port']) {
      const { status, headers, body } = await get(path);
      expect(status).toBe(200);
      expect(body).toContain('<title>page</title>');
      expect(headers['content-type']).toMatch(/^text\/html/);
      expect(headers['content-security-policy']).toBe(
        "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' data: blob:; " +
          `connect-src 'self' ws://127.0.0.1:${String(server.port)}; frame-ancestors 'none'; base-uri 'none'; form-action 'none'`,
      );
      expect(headers).toMatchObject({
        'x-content-type-options': 'nosniff',
        'referrer-policy': 'no-referrer',
        'cross-origin-resource-policy': 'same-origin',
        'cross-origin-opener-policy': 'same-origin',
        'cache-control': 'no-cache',
      });
      expect(headers).not.toHaveProperty('strict-transport-security');
      expect(headers).not.toHaveProperty('access-control-allow-origin');
    }
  });

  it('lets a browser keep files whose name changes with their content', async () => {
    const { status, headers } = await get('/assets/app-1a2b.js');
    expect(status).toBe(200);
    expect(headers['content-type']).toMatch(/javascript/);
    expect(headers['cache-control']).toContain('immutable');
  });

  it('answers a missing file with 404 and not with the page', async () => {
    for (const path of ['/assets/gone.js', '/favicon.ico', '/assets/app-1a2b.js.map']) {
      const { status, body } = await get(path);
      expect(status).toBe(404);
      expect(body).not.toContain('<title>');
    }
  });

  it.each(['POST', 'PUT', 'DELETE', 'OPTIONS', 'PATCH'])('does nothing on %s', async (method) => {
    const { status, headers } = await get('/', {}, method);
    expect(status).toBe(404);
    expect(headers).not.toHaveProperty('access-control-allow-origin');
  });

  it.each([
    ['another name that points here', () => `evil.example:${String(server.port)}`],
    ['localhost', () => `localhost:${String(server.port)}`],
    ['another port', () => '127.0.0.1:80'],
    ['no port', () => '127.0.0.1'],
  ])('refuses a request whose Host is %s', async (_, host) => {
    const { status, body } = await get('/', { Host: host() });
    expect(status).toBe(421);
    expect(body).not.toContain('<title>');
  });

  it('refuses a socket whose Host is another name, even with the token', async () => {
    const answer = await get('/socket', {
      Host: `evil.example:${String(server.port)}`,
      Origin: server.origin,
      Connection: 'Upgrade',
      Upgrade: 'websocket',
      'Sec-WebSocket-Version': '13',
      'Sec-WebSocket-Key': 'dGhlIHNhbXBsZSBub25jZQ==',
      'Sec-WebSocket-Protocol': protocols().join(', '),
    });
    expect(answer.status).toBe(421);
    expect(server.windowCount()).toBe(0);
  });

  it.each([
    ['without Host', 'GET / HTTP/1.0\r\n\r\n'],
    ['with an empty Host', 'GET / HTTP/1.1\r\nHost: \r\n\r\n'],
    [
      'without Host that would become a socket',
      'GET /socket HTTP/1.1\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n\r\n',
    ],
  ])('refuses a request %s and hangs up', async (_, head) => {
    const answer = await new Promise<string>((resolve, reject) => {
      const socket = net.connect({ host: '127.0.0.1', port: server.port });
      let text = '';
      socket.setEncoding('utf8');
      socket.on('data', (chunk: string) => (text += chunk));
      socket.on('end', () => {
        resolve(text);
      });
      socket.on('error', reject);
      socket.write(head);
    });
    expect(answer).toMatch(/^HTTP\/1\.1 4(00|21) /);
  });

  it.each([
    '/../proofarm-secret.txt',
    '/..%2fproofarm-secret.txt',
    '/%2e%2e/proofarm-secret.txt',
    '/assets/../../proofarm-secret.txt',
    '/assets/..%5c..%5cproofarm-secret.txt',
    '/%2e%2e%2f%2e%2e%2fetc/passwd',
    '//etc/passwd',
    '/%00.txt',
    '/assets/%c0%ae%c0%ae/proofarm-secret.txt',
  ])('gives nothing from outside the page folder for %s', async (path) => {
    const { status, body } = await get(path);
    expect(body).not.toMatch(/outside|root:/);
    if (status === 200) expect(body).toContain('<title>page</title>');
    else expect(status).toBeGreaterThanOrEqual(400);
  });

  it('opens a socket for its own page', async () => {
    expect(await handshakeOutcome(openPageSocket(socketUrl(), protocols()))).toBe('open');
  });

  it.each([
    ['another site', () => 'https://evil.example'],
    ['the same address over https', () => server.origin.replace('http:', 'https:')],
    ['another port of this machine', () => 'http://127.0.0.1:1'],
    ['localhost', () => `http://localhost:${String(server.port)}`],
    ['a longer name', () => `${server.origin}.evil.example`],
    ['a page without an origin', () => 'null'],
    ['an empty origin', () => ''],
  ])('refuses a socket of %s, even with the token', async (_, origin) => {
    expect(await handshakeOutcome(openPageSocket(socketUrl(), protocols(), origin()))).toBe('403');
    expect(server.windowCount()).toBe(0);
  });

  it('refuses a socket without an Origin', async () => {
    const { default: Socket } = await import('ws');
    expect(await handshakeOutcome(new Socket(socketUrl(), protocols()))).toBe('403');
  });

  it.each([
    ['no token', () => [wireProtocol]],
    ['an empty token', () => [wireProtocol, 'token.']],
    ['the token of another start', () => protocols('A'.repeat(43))],
    ['a part of the token', () => protocols(server.token.slice(0, -1))],
    ['the token and more', () => protocols(`${server.token}A`)],
    ['another protocol', () => ['proofarm.2', `token.${server.token}`]],
    ['the token before the protocol', () => protocols().reverse()],
    ['a further protocol', () => [...protocols(), 'other']],
  ])('refuses a socket with %s', async (_, wrong) => {
    expect(await handshakeOutcome(openPageSocket(socketUrl(), wrong()))).toBe('403');
    expect(server.windowCount()).toBe(0);
  });

  it('lets a window in by a ticket once, and gives it the token before all else', async () => {
    const protocolsWithTicket = [wireProtocol, `ticket.${ticketOf(server.url)}`];
    const socket = openPageSocket(socketUrl(), protocolsWithTicket);
    const first = await new Promise<WebSocket.RawData>((resolve) => socket.once('message', resolve));
    expect(JSON.parse(textOf(first))).toEqual({ kind: 'token', token: server.token });
    expect(await handshakeOutcome(openPageSocket(socketUrl(), protocolsWithTicket))).toBe('403');
    const answered = new Promise((resolve) => socket.once('message', resolve));
    socket.send('{"kind":"request","id":1,"name":"listPorts","params":{}}');
    await answered;
    expect(await handshakeOutcome(openPageSocket(socketUrl(), protocols()))).toBe('open');
    socket.terminate();
  });

  it.each([
    ['a ticket of another start', () => ticketOf(`${server.origin}/#token=${'A'.repeat(43)}`)],
    ['a ticket of two minutes ago', () => ticketOf(server.url, Date.now() - 121_000)],
    [
      'a ticket with another time',
      () => ticketOf(server.url).replace(/^\d+/, (until) => String(Number(until) + 60)),
    ],
    ['the token as a ticket', () => server.token],
    ['an empty ticket', () => ''],
  ])('refuses a socket with %s', async (_, ticket) => {
    expect(await handshakeOutcome(openPageSocket(socketUrl(), [wireProtocol, `ticket.${ticket()}`]))).toBe(
      '403',
    );
  });

  it('refuses a socket of another site with a good ticket, and leaves the ticket good', async () => {
    const good = [wireProtocol, `ticket.${ticketOf(server.url)}`];
    expect(await handshakeOutcome(openPageSocket(socketUrl(), good, 'https://evil.example'))).toBe('403');
    expect(await handshakeOutcome(openPageSocket(socketUrl(), good))).toBe('open');
  });

  it('refuses a socket without any protocol', async () => {
    expect(await handshakeOutcome(openPageSocket(socketUrl(), []))).toBe('403');
  });

  it('says on /socket that it is a socket, to its own page only', async () => {
    const own = { Origin: server.origin, 'Sec-WebSocket-Protocol': protocols().join(', ') };
    expect((await get('/socket', own)).status).toBe(426);
    expect((await get('/socket')).status).toBe(403);
  });

  it.each([
    ['text that is no message', 'hello'],
    ['bytes that are no message', Buffer.from([255, 255, 255, 255, 1, 2, 3])],
    ['an answer', '{"kind":"reply","id":1,"reply":{"ok":true,"result":{}}}'],
    ['an event', '{"kind":"event","name":"statusChanged","payload":{}}'],
  ])('cuts off a window that sends %s, and only that one', async (_, frame) => {
    const good = openPageSocket(socketUrl(), protocols());
    const bad = openPageSocket(socketUrl(), protocols());
    const goodAnswers: unknown[] = [];
    good.on('message', (data) => goodAnswers.push(data));
    await new Promise((resolve) => good.on('open', resolve));
    const code = await new Promise<number>((resolve) => {
      bad.on('close', resolve);
      bad.on('open', () => {
        bad.send(frame);
      });
    });
    expect(code).toBe(1007);
    const answered = new Promise((resolve) => good.once('message', resolve));
    good.send('{"kind":"request","id":1,"name":"listPorts","params":{}}');
    await answered;
    expect(goodAnswers).toHaveLength(1);
    good.terminate();
  });

  it('cuts off a window that sends a frame over the limit', async () => {
    const socket = openPageSocket(socketUrl(), protocols());
    const code = await new Promise<number>((resolve) => {
      socket.on('close', resolve);
      socket.on('open', () => {
        socket.send('x'.repeat(largestRequestBytes + 1));
      });
    });
    expect(code).toBe(1009); // "message too big", RFC 6455, section 7.4.1
  });

  it('sends every event to every window', async () => {
    const windows = [1, 2].map(() => openPageSocket(socketUrl(), protocols()));
    await Promise.all(windows.map((window) => new Promise((resolve) => window.on('open', resolve))));
    const received = Promise.all(
      windows.map((window) => new Promise((resolve) => window.once('message', resolve))),
    );
    services.emit('trialsChanged', { trialId: 'a' });
    expect((await received).map(String)).toStrictEqual(
      Array(2).fill('{"kind":"event","name":"trialsChanged","payload":{"trialId":"a"}}'),
    );
    for (const window of windows) window.terminate();
  });

  it('leaves the live curve out for a window that does not keep up, and nothing else, and for no other', async () => {
    const slow = openPageSocket(socketUrl(), protocols());
    const quick = openPageSocket(socketUrl(), protocols());
    await Promise.all([slow, quick].map((window) => new Promise((resolve) => window.on('open', resolve))));
    const kindsOf = (window: WebSocket): string[] => {
      const kinds: string[] = [];
      window.on('message', (_data, isBinary) => kinds.push(isBinary ? 'curve' : 'other'));
      return kinds;
    };
    const atQuick = kindsOf(quick);
    const atSlow = kindsOf(slow);
    slow.pause();
    const frames = 100;
    for (let frame = 0; frame < frames; frame += 1) {
      services.emit('liveCurve', {
        generation: 1,
        quantity: 'counts',
        sampleRateHz: 1000,
        samplesPerBin: 1,
        firstBin: frame * 25_000,
        min: new Float32Array(25_000),
        max: new Float32Array(25_000),
        latestMean: null,
        isOutsideCalibratedRange: false,
      });
      services.emit('trialsChanged', { trialId: String(frame) });
      // The quick window reads each frame before the next, as a page that keeps up does.
      while (atQuick.length < 2 * (frame + 1)) await new Promise((resolve) => setTimeout(resolve, 1));
    }
    slow.resume();
    while (atSlow.filter((kind) => kind === 'other').length < frames) {
      await new Promise((resolve) => setTimeout(resolve, 1));
    }
    expect(atQuick.filter((kind) => kind === 'curve')).toHaveLength(frames);
    expect(atSlow.filter((kind) => kind === 'curve').length).toBeLessThan(frames);
    slow.terminate();
    quick.terminate();
  });

  it('ends although a window neither reads nor hangs up', async () => {
    const other = await startLoopbackServer({
      services,
      rendererFolder: pageFolder,
      port: 0,
      log: createLogger(() => undefined),
    });
    const socket = openPageSocket(`ws://127.0.0.1:${String(other.port)}/socket`, protocols(other.token));
    await new Promise((resolve) => socket.on('open', resolve));
    socket.pause();
    await expect(other.close()).resolves.toBeUndefined();
    socket.terminate();
  });

  it('takes the next port where the wanted one is taken, unless it was asked for by number', async () => {
    const options = { services, rendererFolder: pageFolder, log: createLogger(() => undefined) };
    await expect(startLoopbackServer({ ...options, port: server.port })).rejects.toMatchObject({
      name: 'AppError',
      message: expect.stringContaining(String(server.port)),
    });
    const first = await startLoopbackServer({ ...options, port: null });
    const second = await startLoopbackServer({ ...options, port: null });
    expect(second.port).toBeGreaterThan(first.port);
    await first.close();
    await second.close();
  });
});
