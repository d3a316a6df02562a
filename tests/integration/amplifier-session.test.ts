import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, describe, expect, it } from 'vitest';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { decodeCapture } from '../../shared-lib/amplifier/capture-format.ts';
import { findRun } from '../helpers/find-run.ts';
import {
  startPtyAmplifier,
  type PtyAmplifierSetup,
  type RunningPtyAmplifier,
} from '../helpers/pseudo-terminal.ts';
import { makeDataFolder } from '../helpers/running-services.ts';
import { serialTarget, startSession, type RunningSession } from '../helpers/running-session.ts';

const RATE_HZ = 500;
const [countsProfile, , fullProfile] = readyMadeProfiles as [
  AmplifierProfile,
  AmplifierProfile,
  AmplifierProfile,
];
const profile: AmplifierProfile = { ...fullProfile, baudRate: 921_600, nominalRateHz: RATE_HZ };

const cleanUps: (() => void | Promise<void>)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

/** Its reader runs before any pseudo-terminal is opened, which it would else inherit and hold open. */
async function start(entryFile?: string): Promise<RunningSession> {
  const running = startSession(entryFile);
  cleanUps.push(() => running.close());
  await running.session.listPorts();
  return running;
}
function plugIn(setup: Partial<PtyAmplifierSetup> = {}): RunningPtyAmplifier {
  const amplifier = startPtyAmplifier({ profile, rateHz: RATE_HZ, ...setup });
  cleanUps.push(() => {
    amplifier.close();
  });
  return amplifier;
}
function folder(): string {
  const made = makeDataFolder();
  cleanUps.push(() => {
    made.remove();
  });
  return made.path;
}
const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

describe('texts to an amplifier', () => {
  it('are sent as the profile gives them: on opening, then to start, on request, and to stop before the port closes', async () => {
    const { session, until } = await start();
    const amplifier = plugIn();
    let received = '';
    amplifier.onReceived = (text) => (received += text);
    const textsToSend = { onOpen: '\x1bid\r\n', start: 'GO\r', stop: 'HALT\x03', zero: 'Z' };
    await session.connect(serialTarget(amplifier.path, { ...profile, textsToSend }));
    await until('the texts of opening', () => received.length >= 8);
    expect(received).toBe('\x1bid\r\nGO\r');
    session.sendText('tare\xe9\0');
    await until('the text on request', () => received.length >= 14);
    expect(received.slice(8)).toBe('tare\xe9\0');
    await session.disconnect();
    await until('the text to stop', () => received.length >= 19);
    expect(received.slice(14)).toBe('HALT\x03');
    expect(() => {
      session.sendText('anyone there?');
    }).toThrow(expect.objectContaining({ code: 'amplifier-not-connected' }) as Error);
  });

  it('stop the amplifier also when the program ends', async () => {
    const { session, until, close } = await start();
    const amplifier = plugIn();
    let received = '';
    amplifier.onReceived = (text) => (received += text);
    const textsToSend = { onOpen: null, start: null, stop: 'HALT\r', zero: null };
    await session.connect(serialTarget(amplifier.path, { ...profile, textsToSend }));
    await close();
    await until('the text to stop', () => received === 'HALT\r');
  });
});

describe('a device that is plugged in again', () => {
  const namedReader = fileURLToPath(new URL('../helpers/reader-with-named-ports.ts', import.meta.url));
  const device = (path: string, serialNumber: string): object => ({
    path,
    manufacturer: null,
    serialNumber,
    vendorId: '1a2b',
    productId: '0001',
  });
  const usbA = { serialNumber: 'A-17', vendorId: '1a2b', productId: '0001' };

  async function startNamed(): Promise<RunningSession & { list(...devices: object[]): void }> {
    const listFile = join(folder(), 'ports.json');
    const list = (...devices: object[]): void => {
      writeFileSync(listFile, JSON.stringify(devices));
    };
    list();
    process.env['PROOFARM_TEST_NAMED_PORTS'] = listFile;
    cleanUps.push(() => {
      delete process.env['PROOFARM_TEST_NAMED_PORTS'];
    });
    return { ...(await start(namedReader)), list };
  }

  it('is known again on another port, and reading goes on there', async () => {
    const { session, list, until, identified, counts } = await startNamed();
    const before = plugIn();
    list(device(before.path, 'A-17'));
    await session.connect(serialTarget(before.path, profile));
    expect(identified).toEqual([{ path: before.path, usb: usbA }]);
    await until('samples', () => counts().length > 100);

    // There before the old one goes, which would else leave its name to it.
    const after = plugIn();
    expect(after.path).not.toBe(before.path);
    before.unplug();
    await until('the loss', () => session.status().link === 'reconnecting');
    list(device('/dev/null', 'B-04'), device(after.path, 'A-17'));
    await until('reconnection', () => session.status().link === 'connected');
    expect(session.status().portPath).toBe(after.path);
    expect(identified.at(-1)).toEqual({ path: after.path, usb: usbA });
    const soFar = counts().length;
    await until('samples again', () => counts().length > soFar + 100);
    findRun(after.written.counts, Int32Array.from(counts().slice(soFar)));
  });

  it('is not mistaken for another device on its old port, which is said and never opened', async () => {
    const { session, list, until, counts, faultsOf } = await startNamed();
    const linkPath = join(folder(), 'port');
    const amplifier = plugIn({ linkPath });
    list(device(linkPath, 'A-17'));
    await session.connect(serialTarget(linkPath, profile));
    await until('samples', () => counts().length > 100);
    amplifier.unplug();
    await until('the loss', () => session.status().link === 'reconnecting');
    const soFar = counts().length;

    const other = plugIn({ linkPath });
    list(device(linkPath, 'B-04'));
    await until('the refusal', () => session.status().problem?.sentence.includes('B-04') === true);
    expect(session.status()).toMatchObject({ link: 'reconnecting', problem: { code: 'port-not-found' } });
    await pause(700);
    expect(other.counters.written).toBe(0);
    expect(counts().length).toBe(soFar);

    other.unplug();
    amplifier.plugIn();
    list(device(linkPath, 'A-17'));
    await until('reconnection', () => session.status().link === 'connected');
    expect(faultsOf('disconnect')).toHaveLength(1);
  });

  it('is not opened at all where a kept one is asked for and another is on its port', async () => {
    const { session, list } = await startNamed();
    const amplifier = plugIn();
    list(device(amplifier.path, 'B-04'));
    await expect(session.connect(serialTarget(amplifier.path, profile, usbA))).rejects.toMatchObject({
      code: 'port-not-found',
      details: { otherDevice: 'B-04' },
    });
    expect(session.status().link).toBe('failed');
  });
});

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
    await until('more samples', () => counts().length > firstCaptured + 2 * RATE_HZ);
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
    expect(session.status()).toMatchObject({ source: 'replayed', link: 'connected', portPath: null });
    await until('the end of the capture', () => session.status().link === 'disconnected');
    expect(session.status()).toMatchObject({
      source: 'none',
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

describe('faults of the connection', () => {
  it('tell silence once when it begins, and its length when lines come again', async () => {
    const { session, until, counts, faults, faultsOf } = await start();
    const amplifier = plugIn();
    await session.connect(serialTarget(amplifier.path, profile));
    await until('samples', () => counts().length > 100);
    amplifier.stop();
    await until('silence', () => session.status().link === 'silent');
    expect(session.standingFaults().map(({ kind }) => kind)).toEqual(['silence']);
    await pause(600);
    amplifier.start();
    await until('lines', () => session.status().link === 'connected');
    const told = faults.filter(({ kind }) => kind === 'silence' || kind === 'silenceEnded');
    expect(told.map(({ kind }) => kind)).toEqual(['silence', 'silenceEnded']);
    expect(told[0]?.count).toBe(1);
    expect(faultsOf('silenceEnded')[0]?.count).toBeGreaterThan(600);
    expect(session.standingFaults()).toEqual([]);
  });

  it('tell a rate off nominal once in a connection, and hold it against whoever begins later', async () => {
    const { session, until, faultsOf } = await start();
    const amplifier = plugIn();
    await session.connect(serialTarget(amplifier.path, { ...profile, nominalRateHz: 1.1 * RATE_HZ }));
    expect(session.standingFaults()).toEqual([]);
    await until('the fault', () => faultsOf('rateOffNominal').length > 0);
    expect(faultsOf('rateOffNominal')[0]?.count).toBeCloseTo(9, -0.5);
    expect(session.status().rateResidualUs).toBeGreaterThan(0);
    await pause(600);
    expect(faultsOf('rateOffNominal')).toHaveLength(1);
    expect(session.standingFaults()).toMatchObject([{ kind: 'rateOffNominal', slot: null }]);
  });

  it('hold a count that is stuck against whoever begins later, until it moves', async () => {
    const { session, until, faultsOf } = await start();
    let isStuck = false;
    const amplifier = plugIn({ countsAt: (index) => (isStuck ? 1234 : index % 1000) });
    await session.connect(serialTarget(amplifier.path, profile));
    await pause(300);
    isStuck = true;
    await until('the fault', () => faultsOf('stuck').length > 0);
    expect(session.standingFaults().map(({ kind }) => kind)).toEqual(['stuck']);
    isStuck = false;
    await until('its end', () => session.standingFaults().length === 0);
  });

  it('tell that the computer slept, by a wall clock that went on alone, and join nothing across it', async () => {
    const { session, until, counts, faultsOf, blocks, shiftWallClock } = await start();
    const amplifier = plugIn({ profile: countsProfile });
    await session.connect(serialTarget(amplifier.path, { ...countsProfile, nominalRateHz: RATE_HZ }));
    await until('samples', () => counts().length > 100);
    shiftWallClock(60_000);
    await until('the fault', () => faultsOf('computerSlept').length > 0);
    expect(faultsOf('computerSlept')[0]?.count).toBe(60);
    const segment = faultsOf('computerSlept')[0]?.segment ?? 0;
    await until('a new segment', () => (blocks.at(-1)?.segment ?? 0) > segment);
    expect(session.status().link).toBe('connected');
  });

  it('take a wall clock that was set back by hours for nothing', async () => {
    const { session, until, counts, faultsOf, shiftWallClock } = await start();
    const amplifier = plugIn();
    await session.connect(serialTarget(amplifier.path, profile));
    await until('samples', () => counts().length > 50);
    shiftWallClock(-2 * 3600_000);
    const soFar = counts().length;
    await until('more samples', () => counts().length > soFar + 200);
    expect(faultsOf('computerSlept')).toEqual([]);
  });

  it('tell that everything stood still, by a late tick of a reader that read nothing meanwhile', async () => {
    const { session, until, counts, faultsOf, stall } = await start();
    // Its lines come from this process, so that holding it up stops the amplifier too.
    const amplifier = plugIn();
    await session.connect(serialTarget(amplifier.path, profile));
    await until('samples', () => counts().length > 50);
    stall(5600);
    await until('the fault', () => faultsOf('computerSlept').length > 0);
    expect(faultsOf('computerSlept')[0]?.count).toBe(6);
  });

  it('take a program that was held up for nothing as long as its reader went on reading', async () => {
    const { session, until, counts, faultsOf, stall } = await start();
    // Its lines come from the reader process, which nothing holds up.
    await session.connect({
      source: { kind: 'simulated', options: { seed: 5, sampleRateHz: RATE_HZ } },
      profile,
      amplifier: null,
    });
    await until('samples', () => counts().length > 50);
    const before = counts().length;
    stall(5600);
    await until('what was read meanwhile', () => counts().length > before + 5 * RATE_HZ);
    const soFar = counts().length;
    await until('more samples', () => counts().length > soFar + 200);
    expect(faultsOf('computerSlept')).toEqual([]);
  });
});

describe('a reader that dies', () => {
  it('is started again at once, and reading goes on in a new segment', async () => {
    const { session, until, counts, readers, faultsOf, losses } = await start();
    const amplifier = plugIn();
    await session.connect(serialTarget(amplifier.path, profile));
    await until('samples', () => counts().length > 50);
    readers.at(-1)?.kill();
    await until('the death', () => faultsOf('readerLost').length > 0);
    expect(losses).toEqual(['readerLost']);
    const soFar = counts().length;
    await until('samples again', () => counts().length > soFar + 50);
    expect(readers).toHaveLength(2);
  });

  it('again and again is left alone for five seconds, and that is said', async () => {
    const { session, until, readers } = await start();
    const amplifier = plugIn();
    await session.connect(serialTarget(amplifier.path, profile));
    for (let death = 1; death <= 6; death += 1) {
      const dying = readers.length;
      readers.at(-1)?.kill();
      if (death < 6) await until('the next reader', () => readers.length > dying);
    }
    await until('the sentence', () => session.status().problem?.sentence.includes('6 times') === true);
    const present = readers.length;
    await pause(1500);
    expect(readers).toHaveLength(present);
    await until('another try', () => session.status().link === 'connected', 10_000);
  });
});

describe('listening', () => {
  it('gives the raw bytes of a port, and says when they end', async () => {
    const { session, until, heard, listeningEnded, counts } = await start();
    const amplifier = plugIn();
    await session.listen(amplifier.path, 921_600);
    await until('bytes', () => Buffer.concat(heard).length > 2000);
    expect(session.status()).toMatchObject({ source: 'none', link: 'disconnected' });
    expect(Buffer.concat(heard).toString('latin1')).toMatch(/^\$\d+,\d+,-?\d+\*[0-9A-F]{2}$/m);
    await session.listen(amplifier.path, 115_200);
    expect(listeningEnded).toEqual([]);
    amplifier.unplug();
    await until('the end', () => listeningEnded.length > 0);
    expect(listeningEnded).toEqual([expect.any(String)]);
    expect(counts()).toEqual([]);
  });

  it('ends where an amplifier is connected instead, and fails where there is no port', async () => {
    const { session, until, listeningEnded, counts } = await start();
    await expect(session.listen('/dev/no-such-port', 9600)).rejects.toMatchObject({ code: 'port-not-found' });
    const amplifier = plugIn();
    await session.listen(amplifier.path, 921_600);
    await session.connect(serialTarget(amplifier.path, profile));
    expect(listeningEnded).toEqual([null]);
    await until('samples', () => counts().length > 50);
  });
});
