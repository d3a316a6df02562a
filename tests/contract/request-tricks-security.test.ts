import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { connectRaw, sendRaw } from '../helpers/raw-connection.ts';
import { doors, headOf, type OpenDoor, outsideText, protocolsOf, upgradeOf } from './doors-for-security.ts';

/** A busy machine takes its time. */
const patience = { timeout: 60_000 };

/** Every answer but the page's own ends the connection, so that reading to its end is reading all of it. */
describe.each(doors)('a request that is not of its own page, at the $name,', patience, ({ open }) => {
  let door: OpenDoor;
  beforeEach(async () => {
    door = await open();
  });
  afterEach(async () => {
    await door.close();
  });

  const answerTo = (requestLine: string, changes: Record<string, string | null> = {}): Promise<string> =>
    sendRaw(door.port, headOf(door, requestLine, { Connection: 'close', ...changes }));
  const isRefused = (answer: string, status: number): void => {
    expect(answer).toMatch(new RegExp(`^HTTP/1\\.1 ${String(status)} `));
    expect(answer).not.toContain('<title>');
    expect(answer).not.toContain(outsideText);
    expect(door.windowCount()).toBe(0);
  };

  it('is told from one that is', async () => {
    expect(await answerTo('GET / HTTP/1.1')).toMatch(/^HTTP\/1\.1 200 [^]*<title>page<\/title>/);
    const own = { 'Sec-Fetch-Site': 'same-origin', 'Sec-Fetch-Mode': 'cors', 'Sec-Fetch-Dest': 'script' };
    expect(await answerTo('GET / HTTP/1.1', { ...own, Origin: door.origin })).toMatch(/^HTTP\/1\.1 200 /);
    expect(await answerTo('GET / HTTP/1.1', { 'Content-Length': '0' })).toMatch(/^HTTP\/1\.1 200 /);
  });

  it.each([
    ['a name that was made to point here', 'rebound.example'],
    ['the same with a dot behind it', '127.0.0.1.'],
    ['another writing of the address', '2130706433'],
    ['its short form', '127.1'],
    ['IPv6', '[::1]'],
    ['IPv4 within IPv6', '[::ffff:127.0.0.1]'],
    ['any address', '0.0.0.0'],
    ['a user in front of it', 'user@127.0.0.1'],
  ])('is refused where Host is %s, also with the right port', async (_, name) => {
    isRefused(await answerTo('GET / HTTP/1.1', { Host: `${name}:${String(door.port)}` }), 421);
  });

  it('is refused with a second Host, whichever is the right one', async () => {
    const own = `127.0.0.1:${String(door.port)}`;
    for (const hosts of [
      [own, 'rebound.example'],
      ['rebound.example', own],
    ]) {
      const head = `GET / HTTP/1.1\r\n${hosts.map((host) => `Host: ${host}\r\n`).join('')}\r\n`;
      isRefused(await sendRaw(door.port, head), 421);
    }
  });

  it.each([
    ['a picture or a script', { 'Sec-Fetch-Mode': 'no-cors', 'Sec-Fetch-Dest': 'script' }],
    ['a request of a script', { 'Sec-Fetch-Mode': 'cors', 'Sec-Fetch-Dest': 'empty' }],
    ['a frame', { 'Sec-Fetch-Mode': 'navigate', 'Sec-Fetch-Dest': 'iframe' }],
    ['an object', { 'Sec-Fetch-Mode': 'navigate', 'Sec-Fetch-Dest': 'object' }],
    ['a socket', { 'Sec-Fetch-Mode': 'websocket', 'Sec-Fetch-Dest': 'empty' }],
  ])('is refused where a browser says that it is %s of another page', async (_, fetched) => {
    for (const site of ['cross-site', 'same-site']) {
      isRefused(await answerTo('GET / HTTP/1.1', { 'Sec-Fetch-Site': site, ...fetched }), 403);
    }
  });

  it('gives the page to whoever follows a link to it, which tells the page that links nothing', async () => {
    const followed = { 'Sec-Fetch-Mode': 'navigate', 'Sec-Fetch-Dest': 'document' };
    for (const site of ['none', 'cross-site']) {
      const answer = await answerTo('GET / HTTP/1.1', { 'Sec-Fetch-Site': site, ...followed });
      expect(answer).toMatch(/^HTTP\/1\.1 200 /);
      expect(answer).toMatch(/\r\ncross-origin-opener-policy: same-origin\r\n/i);
    }
  });

  it('is refused as a socket where a browser says that another page opens it, with all else right', async () => {
    const foreign = { 'Sec-Fetch-Site': 'cross-site', 'Sec-Fetch-Mode': 'websocket' };
    isRefused(await answerTo('GET /socket HTTP/1.1', { ...upgradeOf(door), ...foreign }), 403);
  });

  it.each(['https://evil.example', 'null', 'http://127.0.0.1', 'file://'])(
    'is refused where its Origin is %s',
    async (origin) => {
      isRefused(await answerTo('GET / HTTP/1.1', { Origin: origin }), 403);
    },
  );

  it.each([
    ['another host', 'GET http://rebound.example/ HTTP/1.1'],
    ['this one', 'GET http://127.0.0.1/ HTTP/1.1'],
    ['no path', 'GET * HTTP/1.1'],
  ])('is refused where its target names %s, as if this were a proxy', async (_, requestLine) => {
    isRefused(await answerTo(requestLine), 400);
  });

  it('opens no tunnel', async () => {
    expect(await answerTo('CONNECT evil.example:80 HTTP/1.1')).not.toMatch(/^HTTP\/1\.1 200/);
  });

  it.each([
    ['a body', { 'Content-Length': '5' }],
    ['a body of a terabyte', { 'Content-Length': '1000000000000' }],
    ['a body in pieces', { 'Transfer-Encoding': 'chunked' }],
  ])('is refused with %s before that has come', async (_, announced) => {
    for (const method of ['GET', 'POST']) isRefused(await answerTo(`${method} / HTTP/1.1`, announced), 413);
  });

  it.each([
    ['two lengths', 'Content-Length: 0\r\nContent-Length: 5'],
    ['a length and pieces', 'Content-Length: 5\r\nTransfer-Encoding: chunked'],
    ['a length that is no number', 'Content-Length: +5'],
    ['pieces by a name that is none', 'Transfer-Encoding: chunked, identity'],
    ['a blank before a colon', 'X-Trick : 1'],
    ['a line that goes on', 'X-Trick: 1\r\n 2'],
    ['a NUL in a header', 'X-Trick: \0'],
  ])('is refused with %s, by which it could be read as two', async (_, lines) => {
    const own = `GET / HTTP/1.1\r\nHost: 127.0.0.1:${String(door.port)}\r\nConnection: close\r\n`;
    const answer = await sendRaw(door.port, `${own}${lines}\r\n\r\n`);
    expect(answer).toMatch(/^HTTP\/1\.1 4(00|13) /);
    expect(answer).not.toContain('<title>');
  });

  it('is refused where its head is larger than any browser makes it', async () => {
    expect(await answerTo('GET / HTTP/1.1', { 'X-Trick': 'x'.repeat(20_000) })).toMatch(/^HTTP\/1\.1 431 /);
  });

  it.each([
    ['a name of the method in a header', 'GET /socket HTTP/1.1', { 'X-HTTP-Method-Override': 'POST' }, 403],
    ['a method that does not exist', 'SEIZE / HTTP/1.1', {}, 400],
    ['a method of file servers', 'PROPFIND / HTTP/1.1', {}, 404],
    ['TRACE', 'TRACE / HTTP/1.1', {}, 404],
  ])('does nothing by %s', async (_, requestLine, changes, status) => {
    isRefused(await answerTo(requestLine, changes), status);
  });

  it('may ask to become a socket nowhere but at its place', async () => {
    for (const path of ['/', '/assets/gone.js', '/socket/', '/SOCKET', '/socket%2f']) {
      isRefused(await answerTo(`GET ${path} HTTP/1.1`, upgradeOf(door)), 400);
    }
  });

  it('becomes nothing but a WebSocket', async () => {
    for (const change of [
      { Upgrade: 'h2c' },
      { 'Sec-WebSocket-Version': '7' },
      { 'Sec-WebSocket-Key': 'short' },
    ]) {
      isRefused(await answerTo('GET /socket HTTP/1.1', { ...upgradeOf(door), ...change }), 400);
    }
  });

  it('gets no compression on its socket, in which a small message could be a large one', async () => {
    const offer = { 'Sec-WebSocket-Extensions': 'permessage-deflate; client_max_window_bits' };
    const connection = await connectRaw(door.port);
    connection.send(headOf(door, 'GET /socket HTTP/1.1', { ...upgradeOf(door), ...offer }));
    await expect.poll(() => connection.received(), patience).toContain('\r\n\r\n');
    expect(connection.received()).toMatch(/^HTTP\/1\.1 101 /);
    expect(connection.received()).not.toMatch(/sec-websocket-extensions/i);
    connection.destroy();
  });

  it.each([
    '/../outside.txt',
    '/..%2foutside.txt',
    '/%2e%2e/outside.txt',
    '/%2e%2e%2foutside.txt',
    '/%252e%252e/outside.txt',
    '/assets/../../outside.txt',
    '/assets/..%2f..%2foutside.txt',
    '/assets/..%5c..%5coutside.txt',
    '/assets/..\\..\\outside.txt',
    '/assets/....//....//outside.txt',
    '/%c0%ae%c0%ae/outside.txt',
    '/..;/outside.txt',
    '/.hidden',
    '/%2ehidden',
    '/assets/',
    '/assets/%00.js',
    '/assets/app-1a2b.js%00.html',
    '/%ff.js',
    '/%',
    '//[.js',
    '//etc/passwd.txt',
    '/C:/windows/win.ini',
    '/file:///etc/passwd.txt',
    'a name of 5000 letters',
  ])('finds no file by %s, and is told nothing of the machine', async (named) => {
    const path = named.startsWith('/') ? named : `/${'a'.repeat(5000)}.js`;
    const answer = await answerTo(`GET ${path} HTTP/1.1`);
    expect(answer).not.toContain(outsideText);
    // A place inside the page is answered with the page; its address has no extension.
    if (answer.startsWith('HTTP/1.1 200 ')) expect(answer).toContain('<title>page</title>');
    else expect(answer).toMatch(/^HTTP\/1\.1 4\d\d /);
    expect(answer).not.toMatch(/root:|\/tmp|node_modules|ENO|EACC|\bat /);
    expect(door.logged.join('\n')).not.toContain('could not be served');
  });

  it('fills the log neither by its number nor by its length', async () => {
    const foreign = `https://${'a'.repeat(4000)}.example`;
    const head = { ...upgradeOf(door), Origin: foreign, 'Sec-WebSocket-Protocol': protocolsOf(door).join() };
    for (let count = 0; count < 60; count += 1) {
      isRefused(await answerTo('GET /socket HTTP/1.1', head), 403);
    }
    expect(door.logged).toHaveLength(51);
    expect(door.logged.at(-1)).toContain('further refusals of this start are not logged');
    expect(Math.max(...door.logged.map((line) => line.length))).toBeLessThan(400);
    expect(door.logged.join('\n')).not.toContain(door.token);
  });
});
