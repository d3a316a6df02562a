import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { decodeCapture } from '../../shared-lib/amplifier/capture-format.ts';
import { findRun } from '../helpers/find-run.ts';
import { serialTarget } from '../helpers/running-session.ts';
import {
  fullSessionProfile as profile,
  useSessionsOnPorts,
  SESSION_RATE_HZ,
  pause,
} from '../helpers/sessions-on-ports.ts';

const { start, plugIn, folder } = useSessionsOnPorts();

describe('a capture', () => {
  it('holds the bytes as they came, and plays to exactly the same counts', async () => {
    const { session, until, blocks, counts, losses } = await start();
    const amplifier = plugIn();
    await session.connect(serialTarget(amplifier.path, profile));
    await until('samples', () => counts().length > 50);
    const filePath = join(folder(), 'capture.bin');
    await session.startCapture(filePath);
    const firstCaptured = counts().length;
    expect(() => session.startCapture(filePath)).toThrow(
      expect.objectContaining({ code: 'invalid-state' }) as Error,
    );
    await until('more samples', () => counts().length > firstCaptured + 2 * SESSION_RATE_HZ);
    expect(session.status().capture).toMatchObject({ fileName: 'capture.bin' });
    const length = await session.stopCapture();
    expect(session.status().capture).toBeNull();
    const file = readFileSync(filePath);
    expect(file.length).toBe(length);
    const { header, records } = decodeCapture(file);
    expect(header).toMatchObject({ path: amplifier.path, profile });
    const captured = Buffer.concat(records.map(({ bytes }) => bytes)).toString('latin1');
    await session.disconnect();
    const live = counts();

    const playedFrom = blocks.length;
    await session.connect({
      source: { kind: 'replayed', filePath },
      profile: header.profile,
      amplifier: null,
    });
    expect(session.status()).toMatchObject({
      source: 'replayed',
      link: 'connected',
      portPath: null,
      replayedFile: 'capture.bin',
    });
    await until('the end of the capture', () => session.status().link === 'disconnected');
    expect(session.status()).toMatchObject({
      source: 'none',
      replayedFile: null,
      problem: { sentence: 'The capture has ended.' },
    });
    expect(losses.at(-1)).toBe('disconnect');
    const played = blocks.slice(playedFrom).flatMap((block) => [...block.counts]);
    // The first line is passed over, and what follows the last line end is no line.
    expect(played).toHaveLength(captured.split('\n').length - 2);
    findRun(live, Int32Array.from(played.slice(0, -5)));
    // Nothing connects again by itself.
    await pause(1200);
    expect(session.status().link).toBe('disconnected');
  });

  it('is ended and told of where its file cannot be made, and reading goes on', async () => {
    const { session, until, counts } = await start();
    const amplifier = plugIn();
    await session.connect(serialTarget(amplifier.path, profile));
    await expect(session.startCapture(join(folder(), 'missing', 'capture.bin'))).rejects.toMatchObject({
      code: 'storage-failed',
    });
    expect(session.status().capture).toBeNull();
    const soFar = counts().length;
    await until('samples', () => counts().length > soFar + 100);
  });

  it('goes on where the cable comes off and back, and ends with the connection', async () => {
    const { session, until, counts } = await start();
    const linkPath = join(folder(), 'port');
    const amplifier = plugIn({ linkPath });
    await session.connect(serialTarget(linkPath, profile));
    const filePath = join(folder(), 'capture.bin');
    await session.startCapture(filePath);
    await until('samples', () => counts().length > 100);
    amplifier.unplug();
    await until('the loss', () => session.status().link === 'reconnecting');
    const soFar = counts().length;
    amplifier.plugIn();
    await until('samples again', () => counts().length > soFar + 100);
    expect(session.status().capture).not.toBeNull();
    await session.disconnect();
    await until('the end of the capture', () => session.status().capture === null);
    const { records } = decodeCapture(readFileSync(filePath));
    const lines = Buffer.concat(records.map(({ bytes }) => bytes))
      .toString('latin1')
      .split('\n');
    expect(lines.length).toBeGreaterThan(200);
  });

  it('has its last lines too where the program ends while it is written', async () => {
    const { session, until, counts } = await start();
    const amplifier = plugIn();
    await session.connect(serialTarget(amplifier.path, profile));
    const filePath = join(folder(), 'capture.bin');
    await session.startCapture(filePath);
    const before = counts().length;
    await until('samples', () => counts().length > before + 50);
    amplifier.stop();
    await until('the last sample', () => counts().at(-1) === amplifier.written.counts.at(-1));
    await session.close();
    const { records } = decodeCapture(readFileSync(filePath));
    const captured = Buffer.concat(records.map(({ bytes }) => bytes)).toString('latin1');
    expect(captured).toContain(`,${amplifier.written.counts.at(-1)}*`);
    expect(captured.endsWith('\n')).toBe(true);
  });

  it('of the last minute is there to take without one having been started', async () => {
    const { session, until, counts } = await start();
    await expect(session.takeRecentBytes()).rejects.toMatchObject({ code: 'amplifier-not-connected' });
    const amplifier = plugIn();
    await session.connect(serialTarget(amplifier.path, profile));
    await until('samples', () => counts().length > 200);
    amplifier.stop();
    await until('the last sample', () => counts().at(-1) === amplifier.written.counts.at(-1));
    await session.disconnect();
    const { header, records } = decodeCapture(await session.takeRecentBytes());
    expect(header.path).toBe(amplifier.path);
    const bytes = Buffer.concat(records.map((record) => record.bytes)).toString('latin1');
    expect(bytes.split('\n').length - 2).toBe(counts().length);
  });
});
