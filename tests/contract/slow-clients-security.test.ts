import { writeFile } from 'node:fs/promises';
import net from 'node:net';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { connectRaw, type RawConnection, sendRaw } from '../helpers/raw-connection.ts';
import { handshakeOutcome } from '../helpers/raw-requests.ts';
import { doors, headOf, type OpenDoor, socketOf, upgradeOf } from './doors-for-security.ts';

/**
 * Each of these connections would stay for ever if nobody cut it off, and the test would end by its own limit. How long it may last is
 * set shorter than in the program (`usualLimits`), and never measured.
 */
const short = { headMs: 250, idleMs: 400 };

/** A busy machine takes its time too. */
const patience = { timeout: 60_000 };

describe.each(doors)('a client that takes its time at the $name', patience, ({ open }) => {
  let door: OpenDoor;
  const trickles: NodeJS.Timeout[] = [];
  afterEach(async () => {
    for (const trickle of trickles.splice(0)) clearInterval(trickle);
    await door.close();
  });

  /** Sends a piece again and again, so that the connection is never idle. */
  const trickle = (connection: RawConnection, piece: string): void => {
    trickles.push(
      setInterval(() => {
        connection.send(piece);
      }, 50),
    );
  };
  const isServed = async (): Promise<void> => {
    const answer = await sendRaw(door.port, headOf(door, 'GET / HTTP/1.1', { Connection: 'close' }));
    expect(answer).toMatch(/^HTTP\/1\.1 200 /);
  };

  it('is cut off where it says nothing at all', async () => {
    door = await open(short);
    const silent = await connectRaw(door.port);
    expect(await silent.ended).not.toContain('200');
    await isServed();
  });

  it('is cut off where the head of its request never ends', async () => {
    door = await open({ ...short, idleMs: 60_000 });
    const slow = await connectRaw(door.port);
    slow.send(`GET / HTTP/1.1\r\nHost: 127.0.0.1:${String(door.port)}\r\n`);
    trickle(slow, 'X-Slow: 1\r\n');
    expect(await slow.ended).toMatch(/^HTTP\/1\.1 408 /);
    await isServed();
  });

  it('is cut off at once where it announces a body, however slowly that would come', async () => {
    door = await open({ headMs: 60_000, idleMs: 60_000 });
    const slow = await connectRaw(door.port);
    slow.send(headOf(door, 'POST / HTTP/1.1', { 'Content-Length': '1000000' }));
    trickle(slow, 'x');
    expect(await slow.ended).toMatch(/^HTTP\/1\.1 413 /);
  });

  it('is cut off where it keeps its connection and asks for nothing more', async () => {
    door = await open(short);
    const idle = await connectRaw(door.port);
    idle.send(headOf(door, 'GET / HTTP/1.1'));
    expect(await idle.ended).toMatch(/^HTTP\/1\.1 200 /);
  });

  it('is cut off where it does not read what it asked for', async () => {
    door = await open({ ...short, headMs: 60_000 });
    // More than the buffers of the system hold.
    await writeFile(join(door.pageFolder, 'assets', 'big-1a2b.js'), Buffer.alloc(32 * 2 ** 20, 'x'));
    const deaf = await connectRaw(door.port);
    deaf.stopReading();
    deaf.send(headOf(door, 'GET /assets/big-1a2b.js HTTP/1.1'));
    // Silent ones are cut off after the same time, one after another; one that is written to gets twice that at least.
    for (let round = 0; round < 6; round += 1) await (await connectRaw(door.port)).ended;
    deaf.readOn();
    expect((await deaf.ended).length).toBeLessThan(32 * 2 ** 20);
    await isServed();
  });

  it('is cut off where it asks to become a socket and goes silent within its first line', async () => {
    door = await open(short);
    const slow = await connectRaw(door.port);
    slow.send('GET /socket HTTP/1.1\r\nUpgrade: web');
    expect(await slow.ended).not.toContain('101');
  });

  it('is not cut off where it is a window, which may well be silent for hours', async () => {
    door = await open(short);
    const window = await connectRaw(door.port);
    window.send(headOf(door, 'GET /socket HTTP/1.1', upgradeOf(door)));
    await expect.poll(() => door.windowCount(), patience).toBe(1);
    // One that is silent beside it, and no window, is cut off at least once more meanwhile.
    for (let round = 0; round < 2; round += 1) await (await connectRaw(door.port)).ended;
    expect(door.windowCount()).toBe(1);
    window.destroy();
  });

  it('is let go where it is a window that reads nothing, before it fills the memory', async () => {
    door = await open();
    const deaf = socketOf(door);
    const good = socketOf(door);
    await expect.poll(() => door.windowCount(), patience).toBe(2);
    let goodMessages = 0;
    good.on('message', () => (goodMessages += 1));
    deaf.pause();
    // Three times the most that is held back for anybody, with time for the other one to read each piece.
    for (let sent = 1; door.windowCount() === 2 && sent <= 24; sent += 1) {
      door.tell(8 * 2 ** 20);
      await expect.poll(() => goodMessages, patience).toBeGreaterThanOrEqual(sent);
    }
    await expect.poll(() => door.windowCount(), patience).toBe(1);
    expect(door.logged.join('\n')).toContain('does not read');
    deaf.terminate();
    good.terminate();
  });
});

describe.each(doors)('many connections at the $name', patience, ({ open }) => {
  it('are refused beyond a number, and the windows that are in stay and are served', async () => {
    const door = await open({ connections: 10, headMs: 60_000, idleMs: 60_000 });
    const window = socketOf(door);
    await expect.poll(() => door.windowCount(), patience).toBe(1);
    const held = await Promise.all(Array.from({ length: 9 }, () => connectRaw(door.port)));
    // One more is hung up on without a word.
    expect(await (await connectRaw(door.port)).ended).toBe('');
    const told = new Promise((resolve) => window.once('message', resolve));
    door.tell(8);
    await told;
    for (const connection of held) connection.destroy();
    await expect.poll(() => handshakeOutcome(socketOf(door)), patience).toBe('open');
    window.terminate();
    await door.close();
  });

  it('that are opened and dropped by the hundred leave nothing behind', async () => {
    const door = await open({ connections: 30 });
    for (let round = 0; round < 20; round += 1) {
      const sockets = Array.from({ length: 20 }, () => net.connect({ host: '127.0.0.1', port: door.port }));
      for (const socket of sockets) {
        socket.on('error', () => undefined);
        socket.end('GET /socket HTTP/1.1\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n\r\n');
        socket.resume();
      }
      await Promise.all(sockets.map((socket) => new Promise((resolve) => socket.on('close', resolve))));
    }
    expect(door.windowCount()).toBe(0);
    expect(await handshakeOutcome(socketOf(door))).toBe('open');
    await door.close();
  });
});
