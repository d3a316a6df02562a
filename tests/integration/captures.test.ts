import { copyFileSync, existsSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { startPtyAmplifier, type RunningPtyAmplifier } from '../helpers/running-pty-amplifier.ts';
import { startReaderInProcess } from '../helpers/reader-in-process.ts';
import { makeDataFolder, startRealServices, type RunningServices } from '../helpers/running-services.ts';

const RATE_HZ = 1000;
const [, , profile] = readyMadeProfiles as [AmplifierProfile, AmplifierProfile, AmplifierProfile];
const fixture = fileURLToPath(new URL('../fixtures/captures/reset-and-garbage.bin', import.meta.url));

let folder: ReturnType<typeof makeDataFolder>;
let bench: RunningServices;
let amplifier: RunningPtyAmplifier;
const capturesFolder = (): string => join(folder.path, 'captures');

beforeAll(async () => {
  folder = makeDataFolder();
  bench = await startRealServices(folder.path);
  await bench.handlers.listPorts({});
  amplifier = startPtyAmplifier({ profile, rateHz: RATE_HZ });
});
afterAll(async () => {
  amplifier.close();
  await bench.close();
  folder.remove();
});

async function connect(): Promise<void> {
  await bench.handlers.connectAmplifier({
    path: amplifier.path,
    profileId: profile.id,
    baudRate: 921_600,
    nominalRateHz: RATE_HZ,
    converterBits: 24,
  });
  await bench.until('samples', ({ amplifier: { counters } }) => counters.samples > 100);
}

describe('captures of the bench', () => {
  it('are none before the first one, and need an amplifier', async () => {
    expect(await bench.handlers.listCaptures({})).toEqual({ captures: [] });
    await expect(bench.handlers.startCapture({})).rejects.toMatchObject({ code: 'amplifier-not-connected' });
    await expect((async () => bench.handlers.stopCapture({}))()).rejects.toMatchObject({
      code: 'invalid-state',
    });
  });

  it('are written into the data folder under their time, shown while they grow, and listed once they are whole', async () => {
    await connect();
    const { fileName } = await bench.handlers.startCapture({});
    expect(fileName).toMatch(/^capture-\d{8}-\d{6}\.bin$/);
    expect((await bench.handlers.listCaptures({})).captures).toEqual([]);
    // Some two seconds, so that it still plays when the test looks.
    const growing = await bench.until(
      'bytes',
      ({ amplifier: { capture } }) => (capture?.bytes ?? 0) > 40_000,
    );
    expect(growing.amplifier.capture).toMatchObject({ fileName });
    const summary = await bench.handlers.stopCapture({});
    expect(summary).toMatchObject({ fileName, profileName: profile.name });
    expect(summary.durationS).toBeGreaterThan(0.3);
    expect(await bench.handlers.listCaptures({})).toEqual({ captures: [summary] });
    expect(readdirSync(capturesFolder())).toEqual([fileName]);
    expect((await bench.status()).amplifier.capture).toBeNull();
  });

  it('are played through a transducer of their own that counts as simulated, and only until their end', async () => {
    const [capture] = (await bench.handlers.listCaptures({})).captures;
    await bench.handlers.replayCapture({ fileName: capture?.fileName ?? '' });
    const playing = await bench.until('samples', (status) => status.amplifier.counters.samples > 100);
    expect(playing.amplifier).toMatchObject({ source: 'replayed', portPath: null, clockSource: 'sequence' });
    expect(playing.transducer).toMatchObject({ name: 'Replayed capture', isSimulated: true });
    await expect(bench.handlers.startCapture({})).rejects.toMatchObject({ code: 'invalid-state' });
    const ended = await bench.until('the end', ({ amplifier: { link } }) => link === 'disconnected');
    expect(ended.amplifier.problem?.sentence).toBe('The capture has ended.');
    await connect();
    expect((await bench.status()).transducer?.isSimulated).toBe(false);
  });

  it.each([
    '../proofarm.db',
    '..\\proofarm.db',
    '/etc/passwd',
    'captures/../../x.bin',
    '.bin',
    'missing.bin',
    'a\0.bin',
  ])('are no way to another file: %j', async (fileName) => {
    await expect(bench.handlers.replayCapture({ fileName })).rejects.toMatchObject({
      code: 'capture-not-found',
    });
    expect((await bench.status()).amplifier.link).toBe('connected');
  });

  it('are passed over in the list and refused where they are damaged', async () => {
    mkdirSync(capturesFolder(), { recursive: true });
    writeFileSync(join(capturesFolder(), 'damaged.bin'), 'not a capture at all\n');
    writeFileSync(join(capturesFolder(), 'notes.txt'), 'mine');
    const names = (await bench.handlers.listCaptures({})).captures.map(({ fileName }) => fileName);
    expect(names).toHaveLength(1);
    await expect(bench.handlers.replayCapture({ fileName: 'damaged.bin' })).rejects.toMatchObject({
      code: 'capture-damaged',
    });
    expect(existsSync(join(capturesFolder(), 'notes.txt'))).toBe(true);
  });

  it('from another bench are played like its own', async () => {
    copyFileSync(fixture, join(capturesFolder(), 'from-elsewhere.bin'));
    const { captures } = await bench.handlers.listCaptures({});
    expect(captures.find(({ fileName }) => fileName === 'from-elsewhere.bin')).toMatchObject({
      startedAt: '2026-03-04T05:06:07.000Z',
      durationS: 0.241,
      profileName: 'sequence, counts',
    });
    await bench.handlers.replayCapture({ fileName: 'from-elsewhere.bin' });
    const ended = await bench.until('the end', ({ amplifier: { link } }) => link === 'disconnected');
    expect(ended.recentFaults.map(({ kind }) => kind)).toContain('segmentBreak');
    expect(ended.amplifier.counters).toMatchObject({ samples: 110, lostSamples: 0 });
  });
});

describe('the captured amplifier that restarts, with garbage and mixed line endings', () => {
  it('gives every whole line once, in two segments, and counts what could not be read', async () => {
    const reader = startReaderInProcess();
    const fixtureProfile = { ...(readyMadeProfiles[1] ?? profile), nominalRateHz: 1000 };
    reader.send({
      type: 'open',
      openId: 1,
      source: { kind: 'replayed', filePath: fixture },
      profile: fixtureProfile,
    });
    await reader.until('the end', () => reader.of('closed').length > 0);
    expect(reader.of('closed')).toMatchObject([{ message: 'The capture has ended.' }]);

    const run = (from: number, to: number, offset: number): number[] =>
      Array.from({ length: to - from }, (_, index) => offset + from + index);
    expect(reader.counts()).toEqual([...run(108, 168, 1000), ...run(0, 50, 2000)]);
    const data = reader.of('data');
    const segments = data.flatMap(({ blocks }) => blocks.map(({ segment }) => segment));
    expect(new Set(segments)).toEqual(new Set([1, 2]));
    const faults = data.flatMap((report) => report.faults);
    const total = (kind: string): number =>
      faults.filter((fault) => fault.kind === kind).reduce((sum, { count }) => sum + count, 0);
    expect(total('segmentBreak')).toBe(1);
    expect(total('sequenceGap')).toBe(0);
    // The garbage, the cut line with the greeting behind it, and the empty line.
    expect(total('badLine')).toBe(3);
  });
});
