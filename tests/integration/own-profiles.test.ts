import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { startPtyAmplifier, type RunningPtyAmplifier } from '../helpers/running-pty-amplifier.ts';
import { makeDataFolder, startRealServices, type RunningServices } from '../helpers/running-services.ts';

const RATE_HZ = 200;
const SET_ZERO = 'now-zero\n';
const [readyMade] = readyMadeProfiles as [AmplifierProfile, ...AmplifierProfile[]];

/** An amplifier whose lines no ready-made profile reads, and which sets a zero of its own. */
const own: AmplifierProfile = {
  ...readyMade,
  id: 'own-1',
  name: 'North bench',
  example: '7;0003E8',
  baudRate: 921_600,
  separator: ';',
  sequence: { field: 0, modulus: 65_536, numeral: 'decimal' },
  countsField: 1,
  countsForm: { numeral: 'hex', bits: 24 },
  nominalRateHz: RATE_HZ,
  textsToSend: { onOpen: null, start: null, stop: null, zero: SET_ZERO },
};
const settings = {
  profileId: own.id,
  baudRate: own.baudRate,
  nominalRateHz: RATE_HZ,
  converterBits: 24,
};

let folder: ReturnType<typeof makeDataFolder>;
let bench: RunningServices;
let amplifier: RunningPtyAmplifier;
/** What the amplifier adds to every count until it is told to set its zero. */
let offset = 50_000;

beforeAll(async () => {
  folder = makeDataFolder();
  bench = await startRealServices(folder.path);
  await bench.handlers.listPorts({});
  amplifier = startPtyAmplifier({
    profile: own,
    rateHz: RATE_HZ,
    countsAt: (index) => offset + (index % 2),
  });
  amplifier.onReceived = (text) => {
    if (text.includes(SET_ZERO)) offset = 0;
  };
});
afterAll(async () => {
  amplifier.close();
  await bench.close();
  folder.remove();
});

async function connect(): Promise<void> {
  await bench.handlers.connectAmplifier({ ...settings, path: amplifier.path });
  await bench.until('a second of samples', ({ amplifier: { counters } }) => counters.samples > 1.2 * RATE_HZ);
}

describe('a profile of one’s own', () => {
  it('is refused with every reason where it cannot read its amplifier, and where it is a ready-made one', async () => {
    const broken = {
      ...own,
      countsField: 0,
      sequence: { field: 0, modulus: 16, numeral: 'decimal' as const },
    };
    expect(() => bench.handlers.saveProfile({ profile: broken })).toThrow(
      expect.objectContaining({
        code: 'profile-invalid',
        // One about the field that is used twice, one about the modulus.
        message: expect.stringMatching(/field.*modulus/is) as string,
      }),
    );
    expect(() => bench.handlers.saveProfile({ profile: { ...own, id: readyMade.id } })).toThrow(
      expect.objectContaining({ code: 'profile-invalid' }),
    );
    expect(await bench.handlers.listProfiles({})).toEqual({
      profiles: readyMadeProfiles,
      ownProfileIds: [],
    });
  });

  it('is listed after the ready-made ones once it is saved, and reads its amplifier', async () => {
    await expect(
      bench.handlers.connectAmplifier({ ...settings, path: amplifier.path }),
    ).rejects.toMatchObject({
      code: 'profile-not-found',
    });
    expect(await bench.handlers.saveProfile({ profile: own })).toEqual({ profile: own });
    expect(await bench.handlers.listProfiles({})).toEqual({
      profiles: [...readyMadeProfiles, own],
      ownProfileIds: [own.id],
    });
    await connect();
    const { meanCounts } = await bench.handlers.captureCounts({});
    expect(Math.abs(meanCounts - 50_000.5)).toBeLessThan(0.1);
    expect((await bench.status()).amplifier).toMatchObject({ profileName: 'North bench', lastBadLine: null });
  });

  it('stays while a kept amplifier is read by it, which is named', async () => {
    expect(() => bench.handlers.deleteProfile({ profileId: own.id })).toThrow(
      expect.objectContaining({
        code: 'invalid-state',
        message: expect.stringContaining('"Amplifier 1" is read by it') as string,
      }),
    );
    expect(() => bench.handlers.deleteProfile({ profileId: readyMade.id })).toThrow(
      expect.objectContaining({ code: 'invalid-state' }),
    );
    expect((await bench.handlers.listProfiles({})).ownProfileIds).toEqual([own.id]);
  });
});

describe('a profile that is edited', () => {
  const bitsKept = async () => {
    const { amplifiers } = await bench.handlers.listAmplifiers({});
    const { amplifier: ofStart } = await bench.handlers.getSettings({});
    return [amplifiers[0]?.settings.converterBits, ofStart?.converterBits];
  };

  it('takes along the amplifiers that are read by it, but for what was set for one otherwise', async () => {
    await bench.handlers.saveProfile({ profile: { ...own, converterBits: 20 } });
    expect(await bitsKept()).toEqual([20, 20]);
    const { amplifiers } = await bench.handlers.listAmplifiers({});
    await bench.handlers.connectKeptAmplifier({ amplifierId: amplifiers[0]?.id ?? '' });
    expect(await bitsKept()).toEqual([20, 20]);

    await bench.handlers.connectAmplifier({ ...settings, converterBits: 22, path: amplifier.path });
    await bench.handlers.saveProfile({ profile: own });
    expect(await bitsKept()).toEqual([22, 22]);
    await connect();
    expect(await bitsKept()).toEqual([24, 24]);
  });
});

describe('an amplifier that sets a zero of its own', () => {
  it('is told to, and the zero is read from samples that came after it', async () => {
    expect(amplifier.received).toBe('');
    const setting = bench.handlers.takeZero({});
    // The old zero would say nothing of what comes now, and nothing may rest on it meanwhile.
    expect((await bench.status()).zero).toBeNull();
    expect(() => bench.handlers.takeZero({})).toThrow('has to wait until the amplifier has set its zero');
    expect(() => bench.handlers.armTrial({})).toThrow('has to wait until the amplifier has set its zero');
    await setting;
    expect(amplifier.received).toBe(SET_ZERO);
    expect(Math.abs(((await bench.status()).zero?.counts ?? NaN) - 0.5)).toBeLessThan(0.1);
  });

  it('that is lost meanwhile leaves no zero behind, and says so', async () => {
    const setting = bench.handlers.takeZero({});
    amplifier.unplug();
    await expect(setting).rejects.toMatchObject({
      code: 'connection-lost',
      message: expect.stringContaining('no zero now') as string,
    });
    expect((await bench.status()).zero).toBeNull();
    await bench.handlers.disconnectAmplifier({});
  });
});

describe('a profile that nobody uses any more', () => {
  it('can be deleted once the amplifier is off the list', async () => {
    const { amplifiers } = await bench.handlers.listAmplifiers({});
    for (const { id } of amplifiers) await bench.handlers.forgetAmplifier({ amplifierId: id });
    await bench.handlers.deleteProfile({ profileId: own.id });
    expect((await bench.handlers.listProfiles({})).ownProfileIds).toEqual([]);
    expect(() => bench.handlers.deleteProfile({ profileId: own.id })).toThrow(
      expect.objectContaining({ code: 'profile-not-found' }),
    );
  });
});
