import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { forkReader } from '../../main/hosts/loopback/fork-reader.ts';
import { startServices } from '../../main/hosts/start-services.ts';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { Obstacle } from '../../shared-lib/bench-status.ts';
import { startPtyAmplifier, type RunningPtyAmplifier } from '../helpers/running-pty-amplifier.ts';
import { NAMED_PORTS_VARIABLE } from '../helpers/reader-with-named-ports.ts';
import { makeDataFolder, startRealServices, type RunningServices } from '../helpers/running-services.ts';

const RATE_HZ = 200;
const [, profile] = readyMadeProfiles as [AmplifierProfile, AmplifierProfile, ...AmplifierProfile[]];
const readerEntry = fileURLToPath(new URL('../helpers/reader-with-named-ports.ts', import.meta.url));

let folder: ReturnType<typeof makeDataFolder>;
let bench: RunningServices;
let first: RunningPtyAmplifier;
let second: RunningPtyAmplifier;

/** Which device is on which port from now on. */
function list(devices: Readonly<Record<string, string>>): void {
  const ports = Object.entries(devices).map(([serialNumber, path]) => ({
    path,
    manufacturer: null,
    serialNumber,
    vendorId: '1a2b',
    productId: '0001',
  }));
  writeFileSync(join(folder.path, 'ports.json'), JSON.stringify(ports));
}

beforeAll(async () => {
  folder = makeDataFolder();
  process.env[NAMED_PORTS_VARIABLE] = join(folder.path, 'ports.json');
  list({});
  bench = await startRealServices(folder.path, readerEntry);
  await bench.handlers.listPorts({});
  // A count of noise: a reading that never moves would be a fault.
  const countsAt = (index: number): number => 1000 + (index % 2);
  first = startPtyAmplifier({ profile, rateHz: RATE_HZ, countsAt });
  second = startPtyAmplifier({ profile, rateHz: RATE_HZ, countsAt });
  list({ 'A-17': first.path, 'B-04': second.path });
});
afterAll(async () => {
  first.close();
  second.close();
  await bench.close();
  folder.remove();
  Reflect.deleteProperty(process.env, NAMED_PORTS_VARIABLE);
});

const settingsOf = (path: string) => ({
  path,
  profileId: profile.id,
  baudRate: 921_600,
  nominalRateHz: RATE_HZ,
  converterBits: 24,
});

async function aSecondOfSamples(): Promise<void> {
  await bench.until('a second of samples', ({ amplifier: { counters } }) => {
    return counters.samples > 1.2 * RATE_HZ;
  });
}

async function connectPort(amplifier: RunningPtyAmplifier): Promise<void> {
  await bench.handlers.connectAmplifier(settingsOf(amplifier.path));
  await aSecondOfSamples();
}

async function connectKept(name: string): Promise<void> {
  await bench.handlers.connectKeptAmplifier({ amplifierId: await idOf(name) });
  await aSecondOfSamples();
}

async function idOf(name: string): Promise<string> {
  const { amplifiers } = await bench.handlers.listAmplifiers({});
  const found = amplifiers.find((amplifier) => amplifier.name === name);
  if (!found) throw new Error(`No ${name} among ${JSON.stringify(amplifiers)}`);
  return found.id;
}

async function calibrate(supersedeReason: string | null) {
  return bench.handlers.saveCalibration({
    label: 'From the certificate',
    input: {
      method: 'direct',
      zeroCounts: 1000,
      forward: { torqueNm: 500, counts: 501_000 },
      reverse: { torqueNm: 500, counts: -499_000 },
    },
    enteredUncertaintyPercent: null,
    note: '',
    supersedeReason,
  });
}

async function obstacleCodes(): Promise<string[]> {
  return (await bench.status()).obstacles.map(({ code }: Obstacle) => code);
}

async function quantityAfterZero(): Promise<string | undefined> {
  await bench.handlers.takeZero({});
  const seen = bench.seen('liveCurve').length;
  await bench.until('a piece of the curve', () => bench.seen('liveCurve').length > seen + 1);
  return bench.seen('liveCurve').at(-1)?.quantity;
}

// One after the other on one bench, as over the days of its use.
describe('amplifiers over the days of a bench', () => {
  it('are kept once they were connected, and connect at the start where nobody has said otherwise', async () => {
    expect(await bench.handlers.getSettings({})).toMatchObject({ amplifier: null, connectAtStart: 'none' });
    await connectPort(first);
    const { amplifiers } = await bench.handlers.listAmplifiers({});
    const { transducer, amplifier } = await bench.status();
    expect(amplifiers).toMatchObject([
      {
        name: 'Amplifier 1',
        usb: { serialNumber: 'A-17' },
        settings: settingsOf(first.path),
        transducerId: transducer?.id,
      },
    ]);
    expect(amplifier).toMatchObject({ amplifierId: amplifiers[0]?.id, amplifierName: 'Amplifier 1' });
    expect(await bench.handlers.getSettings({})).toMatchObject({
      amplifier: settingsOf(first.path),
      connectAtStart: 'serial',
    });
  });

  it('go through a calibration only where it was made with them', async () => {
    const id = (await bench.status()).transducer?.id ?? '';
    await bench.handlers.updateTransducer({ id, capacityNm: 500 });
    const version = await calibrate(null);
    expect(version.amplifierId).toBe(await idOf('Amplifier 1'));
    expect(await quantityAfterZero()).toBe('torqueNm');

    await connectPort(second);
    expect((await bench.status()).amplifier.amplifierName).toBe('Amplifier 2');
    const [obstacle] = (await bench.status()).obstacles.filter(({ remedy }) => remedy === 'calibrate');
    expect(obstacle?.code).toBe('calibration-of-another-amplifier');
    expect(obstacle?.sentence).toContain('was made with "Amplifier 1"');
    expect(await quantityAfterZero()).toBe('counts');
    expect(() => bench.handlers.armTrial({})).toThrow('was made with "Amplifier 1"');
    await expect(Promise.resolve(bench.handlers.confirmSense({}))).rejects.toMatchObject({
      code: 'invalid-state',
    });

    await connectKept('Amplifier 1');
    expect(await obstacleCodes()).not.toContain('calibration-of-another-amplifier');
    expect(await quantityAfterZero()).toBe('torqueNm');

    await connectKept('Amplifier 2');
    const renewed = await calibrate('Another amplifier.');
    expect(renewed.amplifierId).toBe(await idOf('Amplifier 2'));
    expect(await quantityAfterZero()).toBe('torqueNm');
  });

  it('bring their transducers along', async () => {
    const small = await bench.handlers.addTransducer({ name: 'Small one' });
    expect((await bench.status()).zero).not.toBeNull();
    await bench.handlers.activateTransducer({ transducerId: small.id });
    expect(await bench.status()).toMatchObject({
      transducer: { name: 'Small one' },
      zero: null,
      calibration: null,
    });
    // What is entered now belongs to it.
    expect(await bench.handlers.getCalibrationInUse({})).toMatchObject({
      transducer: { id: small.id },
      calibration: null,
    });
    expect(await bench.handlers.listCalibrations({ transducerId: small.id })).toEqual({ calibrations: [] });

    await connectKept('Amplifier 1');
    expect((await bench.status()).transducer?.name).toBe('Transducer 1');
    await connectPort(second);
    expect((await bench.status()).transducer?.name).toBe('Small one');
  });

  it('put no transducer of one’s own on the simulated bench, nor that of the simulated bench on a real one', async () => {
    const { transducers } = await bench.handlers.listTransducers({});
    await bench.handlers.connectSimulatedBench({});
    const simulated = (await bench.status()).transducer;
    const [own] = transducers;
    if (!own || !simulated) throw new Error('A transducer is missing');
    expect(() => bench.handlers.activateTransducer({ transducerId: own.id })).toThrow('of their own');
    expect((await bench.status()).transducer).toEqual(simulated);
    await connectKept('Amplifier 2');
    expect(() => bench.handlers.activateTransducer({ transducerId: simulated.id })).toThrow('of their own');
    expect((await bench.status()).transducer?.name).toBe('Small one');
  });

  it('are found where they are now, not where another device has taken their port', async () => {
    list({ 'A-17': second.path, 'B-04': first.path });
    await connectKept('Amplifier 1');
    expect((await bench.status()).amplifier).toMatchObject({
      portPath: second.path,
      amplifierName: 'Amplifier 1',
    });
    const { amplifiers } = await bench.handlers.listAmplifiers({});
    expect(amplifiers[0]).toMatchObject({ name: 'Amplifier 1', settings: { path: second.path } });
    expect((await bench.handlers.getSettings({})).amplifier?.path).toBe(second.path);
    // The port that the user names is opened, whatever device is on it.
    await connectPort(first);
    expect((await bench.status()).amplifier.amplifierName).toBe('Amplifier 2');
  });

  it('are connected anew as they were last, on the port where they are now', async () => {
    await connectKept('Amplifier 1');
    const before = (await bench.handlers.listAmplifiers({})).amplifiers;
    await bench.handlers.disconnectAmplifier({});
    list({ 'A-17': first.path, 'B-04': second.path });
    await bench.handlers.connectLastAmplifier({});
    await aSecondOfSamples();
    expect((await bench.status()).amplifier).toMatchObject({
      portPath: first.path,
      amplifierName: 'Amplifier 1',
    });
    const settingsOfSecond = (amplifiers: typeof before) =>
      amplifiers.find(({ name }) => name === 'Amplifier 2')?.settings;
    const { amplifiers } = await bench.handlers.listAmplifiers({});
    expect(settingsOfSecond(amplifiers)).toEqual(settingsOfSecond(before));
    list({ 'A-17': second.path, 'B-04': first.path });
    await connectKept('Amplifier 1');
    await connectKept('Amplifier 2');
  });

  it('are renamed while they are connected, and forgotten only afterwards', async () => {
    const amplifierId = await idOf('Amplifier 2');
    await bench.handlers.updateAmplifier({ amplifierId, name: 'At the window' });
    expect((await bench.status()).amplifier.amplifierName).toBe('At the window');
    expect(() => bench.handlers.forgetAmplifier({ amplifierId })).toThrow('"At the window" is connected');

    await bench.handlers.disconnectAmplifier({});
    await bench.handlers.forgetAmplifier({ amplifierId });
    const { amplifiers } = await bench.handlers.listAmplifiers({});
    expect(amplifiers.map(({ name }) => name)).toEqual(['Amplifier 1']);
    await expect(bench.handlers.connectKeptAmplifier({ amplifierId })).rejects.toMatchObject({
      code: 'amplifier-not-found',
    });
    // It would else be connected by itself at the next start, and be back.
    expect((await bench.handlers.getSettings({})).amplifier).toBeNull();
    // The calibration that was made with it still says so.
    await connectKept('Amplifier 1');
    const [obstacle] = (await bench.status()).obstacles.filter(({ remedy }) => remedy === 'calibrate');
    expect(obstacle?.sentence).toContain('was made with "At the window"');
  });
});

describe('what happens at the start', () => {
  it('is that the amplifier of the last time is connected, on whatever port it is today', async () => {
    await bench.handlers.disconnectAmplifier({});
    const other = makeDataFolder();
    list({ 'A-17': first.path, 'B-04': second.path });
    const before = await startRealServices(other.path, readerEntry);
    await before.handlers.connectAmplifier(settingsOf(first.path));
    const [kept] = (await before.handlers.listAmplifiers({})).amplifiers;
    await before.close();

    list({ 'B-04': first.path, 'A-17': second.path });
    const started = await startServices({
      dataFolder: other.path,
      host: 'browser',
      isSimulated: false,
      startReader: (log) => forkReader(readerEntry, log),
    });
    if (!('services' in started)) throw new Error('Another program has the folder');
    try {
      const { handlers } = started.services;
      await vi.waitFor(
        async () => {
          expect((await handlers.getStatus({})).amplifier).toMatchObject({
            link: 'connected',
            portPath: second.path,
            amplifierId: kept?.id,
          });
        },
        { timeout: 15_000, interval: 50 },
      );
    } finally {
      await started.end();
      other.remove();
    }
  });

  it('stays nothing where the user has chosen that', async () => {
    const other = makeDataFolder();
    const services = await startRealServices(other.path, readerEntry);
    try {
      await services.handlers.updateSettings({ connectAtStart: 'none' });
      await services.handlers.connectAmplifier(settingsOf(first.path));
      expect(await services.handlers.getSettings({})).toMatchObject({
        amplifier: settingsOf(first.path),
        connectAtStart: 'none',
      });
    } finally {
      await services.close();
      other.remove();
    }
  });
});
