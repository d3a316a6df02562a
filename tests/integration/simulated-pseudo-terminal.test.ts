import { existsSync, mkdtempSync, readlinkSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { ReadlineParser } from '@serialport/parser-readline';
import { SerialPort } from 'serialport';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { readyMadeProfiles } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { openPseudoTerminal } from '../../main/simulation/pseudo-terminal.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import {
  startPtyAmplifier,
  type PtyAmplifierSetup,
  type RunningPtyAmplifier,
} from '../helpers/running-pty-amplifier.ts';

const profile = readyMadeProfiles[2];
if (!profile) throw new Error('The profile with a checksum is missing.');

const cleanUps: (() => void | Promise<void>)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

const serve = (setup: Omit<PtyAmplifierSetup, 'profile'>): RunningPtyAmplifier => {
  const amplifier = startPtyAmplifier({ profile, ...setup });
  cleanUps.push(() => {
    amplifier.close();
  });
  return amplifier;
};

function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'pseudo-terminal-'));
  cleanUps.push(() => {
    rmSync(folder, { recursive: true });
  });
  return folder;
}

async function open(path: string): Promise<SerialPort> {
  const port = new SerialPort({ path, baudRate: 115_200, autoOpen: false });
  await new Promise<void>((resolve, reject) => {
    port.open((error) => {
      if (error) reject(error);
      else resolve();
    });
  });
  cleanUps.push(() => close(port));
  return port;
}

async function close(port: SerialPort): Promise<void> {
  if (!port.isOpen) return;
  await new Promise<void>((resolve) => {
    port.close(() => {
      resolve();
    });
  });
}

/**
 * Whether the system says that the device behind the port is gone. The 'close' event is no measure of it: bindings-cpp
 * 13.0.0 reads on for ever, without an event, when the hang-up falls between its polls (a read of 0 bytes).
 */
async function isHungUp(port: SerialPort): Promise<boolean> {
  if (!port.isOpen || !port.port) return true;
  return port.port.getBaudRate().then(
    () => false,
    () => true,
  );
}

function collectLines(port: SerialPort): string[] {
  const lines: string[] = [];
  port.pipe(new ReadlineParser({ delimiter: '\n' })).on('data', (line: string) => lines.push(line));
  return lines;
}

/** Sequence number and count of each line, as text. */
function fieldsOf(lines: readonly string[]): { sequence: number[]; counts: number[] } {
  const fields = lines.map((line) => line.slice(1, line.indexOf('*')).split(','));
  return {
    sequence: fields.map(([sequence]) => Number(sequence)),
    counts: fields.map(([, , counts]) => Number(counts)),
  };
}

const until = (condition: () => boolean) => vi.waitUntil(condition, { timeout: 60_000, interval: 20 });

describe('a pseudo-terminal under the native serial binding', () => {
  it('hands over every byte value unchanged', async () => {
    const terminal = openPseudoTerminal();
    cleanUps.push(() => {
      terminal.close();
    });
    const port = await open(terminal.slavePath);
    const received: Buffer[] = [];
    port.on('data', (bytes: Buffer) => received.push(bytes));
    const sent = Buffer.from(Array.from({ length: 1024 }, (_, index) => index % 256));
    expect(terminal.write(sent)).toBe(1024);
    await until(() => Buffer.concat(received).length >= 1024);
    expect(Buffer.concat(received)).toEqual(sent);
  });

  it('knows whether a program has it open', async () => {
    const terminal = openPseudoTerminal();
    cleanUps.push(() => {
      terminal.close();
    });
    expect(terminal.isListenedTo()).toBe(false);
    const port = await open(terminal.slavePath);
    expect(terminal.isListenedTo()).toBe(true);
    await close(port);
    expect(terminal.isListenedTo()).toBe(false);
  });

  it('hears what the program sends, its last words before it closes the port included', async () => {
    const terminal = openPseudoTerminal();
    cleanUps.push(() => {
      terminal.close();
    });
    const port = await open(terminal.slavePath);
    port.write('start\r\n');
    await new Promise<void>((resolve) => {
      port.write(Buffer.from([0x1b, 0xff]));
      port.drain(() => {
        resolve();
      });
    });
    await close(port);
    expect(terminal.isListenedTo()).toBe(false);
    expect(terminal.takeReceived()).toBe('start\r\n\u001b\u00ff');
    expect(terminal.takeReceived()).toBe('');
  });

  it('takes no more than its buffer holds', async () => {
    const terminal = openPseudoTerminal();
    cleanUps.push(() => {
      terminal.close();
    });
    const port = await open(terminal.slavePath);
    port.pause();
    const accepted = terminal.write(Buffer.alloc(1_000_000, 0x41));
    expect(accepted).toBeGreaterThan(1000);
    expect(accepted).toBeLessThan(1_000_000);
    expect(terminal.write(Buffer.from('A'))).toBeLessThanOrEqual(1);
  });
});

describe('an amplifier on a pseudo-terminal', () => {
  it.each([
    [80, 160],
    [1000, 2000],
    [10_000, 20_000],
  ])('at %i lines/s gives each of its counts to the program, one for one', async (rateHz, lineCount) => {
    const amplifier = serve({ rateHz });
    const lines = collectLines(await open(amplifier.path));
    await until(() => amplifier.written.counts.length >= lineCount);
    amplifier.stop();
    await until(() => lines.length >= amplifier.written.counts.length);
    const read = fieldsOf(lines);
    expect(read.sequence).toEqual(amplifier.written.sequence);
    expect(read.counts).toEqual(amplifier.written.counts);
    expect(read.sequence[0]).toBe(0);
    expect(amplifier.written.atUs).toHaveLength(lines.length);
    expect(amplifier.counters).toEqual({ written: lines.length, dropped: 0, unheard: 0 });
  });

  it('gives the counts of the simulated bench', async () => {
    const amplifier = serve({ rateHz: 1000, bench: { seed: 21 } });
    amplifier.simulated?.bench.pull({ direction: 'forward', triggerS: 0.5, delayS: 0.1 });
    const lines = collectLines(await open(amplifier.path));
    await until(() => lines.length >= 800);
    amplifier.stop();
    await until(() => lines.length >= amplifier.written.counts.length);
    const { counts } = fieldsOf(lines);
    expect(counts).toEqual(amplifier.written.counts);
    const zero = amplifier.simulated?.bench.truth.zeroCounts ?? NaN;
    expect(counts.filter((count) => count - zero > 400_000).length).toBeGreaterThan(200);
  });

  it('loses whole lines, and counts them, where the program does not read in time', async () => {
    const amplifier = serve({ rateHz: 10_000, whenFull: 'drop' });
    const port = await open(amplifier.path);
    await until(() => amplifier.counters.dropped > 500);
    const lines = collectLines(port);
    await until(() => lines.length > 5000);
    amplifier.stop();
    await until(() => lines.length >= amplifier.written.counts.length);
    // The serial library empties the port when it opens it, so the first lines may be missing or cut.
    const first = lines.findIndex((line) => line.startsWith('$'));
    const { sequence, counts } = fieldsOf(lines.slice(first));
    expect(sequence).toEqual(amplifier.written.sequence.slice(-sequence.length));
    expect(counts).toEqual(amplifier.written.counts.slice(-sequence.length));
    const span = (sequence.at(-1) ?? NaN) - (sequence[0] ?? NaN) + 1;
    expect(span).toBeGreaterThan(sequence.length);
  });

  it('hears the program while it sends no lines, and may send them when it is told to', async () => {
    const amplifier = serve({ rateHz: 1000 });
    amplifier.stop();
    amplifier.onReceived = (text) => {
      if (text.includes('go')) amplifier.start();
    };
    const port = await open(amplifier.path);
    const lines = collectLines(port);
    port.write('hello ');
    await until(() => amplifier.received === 'hello ');
    expect(amplifier.counters.written).toBe(0);
    port.write('go');
    await until(() => lines.length > 20);
    expect(amplifier.received).toBe('hello go');
  });

  it('keeps the time of its clock, goes wrong when it is told to and mixes its line endings', async () => {
    const amplifier = serve({
      rateHz: 1000,
      clock: { jitterUs: 200, rateSteps: [{ atS: 0.1, factor: 2 }] },
      bench: {
        seed: 4,
        lineEndings: 'mixed',
        misbehaviours: [
          { atS: 0.05, what: { kind: 'duplicate', count: 1 } },
          { atS: 0.2, what: { kind: 'reset' } },
        ],
      },
    });
    const port = await open(amplifier.path);
    let text = '';
    port.on('data', (bytes: Buffer) => (text += bytes.toString('latin1')));
    const lines = () => text.split('\n');
    await until(() => lines().length > 250);
    const read = lines().slice(0, 250);
    // By hand: a line each millisecond up to 100 ms, then two; sample 50 comes twice, sample 200 begins anew.
    const countersIn = (index: number) => read[index]?.slice(1).split(',').slice(0, 2).map(Number);
    expect([50, 51, 52].map(countersIn)).toEqual([
      [50, 50_000],
      [50, 50_000],
      [51, 51_000],
    ]);
    expect([102, 103, 200, 201, 202].map(countersIn)).toEqual([
      [101, 100_500],
      [102, 101_000],
      [199, 149_500],
      [0, 0],
      [1, 500],
    ]);
    expect(read.slice(0, 4).map((line) => line.endsWith('\r'))).toEqual([false, true, false, true]);
  });

  it('lets lines go by while no program has it open', async () => {
    const amplifier = serve({ rateHz: 1000, whenFull: 'drop' });
    await until(() => amplifier.counters.unheard > 50);
    expect(amplifier.counters.written).toBe(0);
    const lines = collectLines(await open(amplifier.path));
    await until(() => lines.length > 50);
    expect(amplifier.written.sequence[0]).toBeGreaterThanOrEqual(50);
  });

  it('closes the port of the program when it is unplugged, and is found at the same path when it comes back', async () => {
    const linkPath = join(temporaryFolder(), 'amplifier');
    const amplifier = serve({ rateHz: 1000, linkPath });
    expect(amplifier.path).toBe(linkPath);
    const port = await open(linkPath);
    const lines = collectLines(port);
    await until(() => lines.length > 20);

    amplifier.unplug();
    await vi.waitUntil(() => isHungUp(port), { timeout: 60_000, interval: 20 });
    expect(existsSync(linkPath)).toBe(false);

    amplifier.plugIn();
    const linesAfter = collectLines(await open(linkPath));
    await until(() => linesAfter.length > 20);
    const { sequence } = fieldsOf(linesAfter);
    expect(sequence[0]).toBeGreaterThanOrEqual(fieldsOf(lines).sequence.at(-1) ?? NaN);
    amplifier.close();
    expect(() => readlinkSync(linkPath)).toThrow();
  });

  it('unplugs itself when the bench is told to', async () => {
    const amplifier = serve({ rateHz: 1000, bench: { seed: 1 } });
    const port = await open(amplifier.path);
    const lines = collectLines(port);
    await until(() => lines.length > 20);
    amplifier.simulated?.misbehave({ kind: 'unplug' });
    await vi.waitUntil(() => isHungUp(port), { timeout: 60_000, interval: 20 });
  });

  it('replaces a link that stands in its way, but never a file', () => {
    const folder = temporaryFolder();
    const stale = join(folder, 'stale');
    symlinkSync(join(folder, 'nowhere'), stale);
    const amplifier = serve({ rateHz: 80, linkPath: stale });
    expect(readlinkSync(stale)).toMatch(/^\/dev\//);
    amplifier.close();

    const file = join(folder, 'file');
    writeFileSync(file, 'mine');
    expect(() => serve({ rateHz: 80, linkPath: file })).toThrow(AppError);
    expect(existsSync(file)).toBe(true);
  });
});
