import { describe, expect, it } from 'vitest';
import {
  amplifierName,
  forgetAmplifier,
  getAmplifier,
  keepAmplifier,
  listAmplifiers,
  renameAmplifier,
  setAmplifierTransducer,
} from '../../main/storage/amplifier-repository.ts';
import { insertCalibration, listCalibrations } from '../../main/storage/calibration-repository.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { deleteOwnProfile, listOwnProfiles, saveOwnProfile } from '../../main/storage/profile-repository.ts';
import { beginTrial } from '../../main/storage/recording-repository.ts';
import {
  addTransducer,
  ensureRealTransducer,
  ensureReplayTransducer,
  listTransducers,
} from '../../main/storage/transducer-repository.ts';
import { getTrial } from '../../main/storage/trial-repository.ts';
import {
  readyMadeProfiles,
  type AmplifierProfile,
  type AmplifierSettings,
  type KeptAmplifier,
  type UsbIdentity,
} from '../../shared-lib/amplifier/amplifier-profile.ts';
import {
  at,
  block,
  calibration,
  conditions,
  newTrial,
  open,
  seedBench,
} from './storage-support/bench-fixture.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

const coded = (code: string): unknown => expect.objectContaining({ code });
const usb: UsbIdentity = { serialNumber: 'A-17', vendorId: '1a2b', productId: '0001' };
const settings: AmplifierSettings = {
  path: '/dev/ttyUSB0',
  profileId: 'counts',
  baudRate: 115_200,
  nominalRateHz: 80,
  converterBits: 24,
};

function keep(
  database: WritableDatabase,
  path: string,
  identity: UsbIdentity | null,
  connectedAt = at,
): KeptAmplifier {
  return keepAmplifier(database, {
    settings: { ...settings, path },
    usb: identity,
    transducerId: ensureRealTransducer(database).id,
    at: connectedAt,
  });
}

describe('a kept amplifier', () => {
  it('is known by its USB identity on whatever port, and takes over what was set for it now', () => {
    const folder = temporaryFolder();
    const first = open(folder);
    const kept = keep(first, '/dev/ttyUSB0', usb);
    expect(kept).toMatchObject({ name: 'Amplifier 1', usb, settings, lastConnectedAt: at });
    first.close();

    const database = open(folder);
    const later = '2026-03-05T00:00:00.000Z';
    const again = keepAmplifier(database, {
      settings: { ...settings, path: '/dev/ttyUSB3', nominalRateHz: 1000 },
      // The same number, written another way.
      usb: { ...usb, vendorId: '1A2B' },
      transducerId: addTransducer(database, 'Transducer 2').id,
      at: later,
    });
    expect(again).toEqual({
      ...kept,
      settings: { ...settings, path: '/dev/ttyUSB3', nominalRateHz: 1000 },
      lastConnectedAt: later,
    });
    expect(listAmplifiers(database)).toEqual([again]);
    database.close();
  });

  it.each<[string, UsbIdentity | null]>([
    ['another serial number', { ...usb, serialNumber: 'B-04' }],
    ['another product of the same number', { ...usb, productId: '0002' }],
    ['a vendor where none was known', { ...usb, vendorId: null }],
    ['no identity at all', null],
  ])('is not taken for a device with %s on the same port', (_, other) => {
    const database = open(temporaryFolder());
    const kept = keep(database, '/dev/ttyUSB0', usb);
    const second = keep(database, '/dev/ttyUSB0', other);
    expect(second.id).not.toBe(kept.id);
    expect(second.name).toBe('Amplifier 2');
    database.close();
  });

  it('without an identity is known by its path only', () => {
    const database = open(temporaryFolder());
    const kept = keep(database, '/dev/ttyS0', null);
    expect(keep(database, '/dev/ttyS0', null).id).toBe(kept.id);
    expect(keep(database, '/dev/ttyS1', null).id).not.toBe(kept.id);
    expect(keep(database, '/dev/ttyS0', usb).id).not.toBe(kept.id);
    database.close();
  });

  it('is listed with the one connected last first, and can be renamed and given another transducer', () => {
    const database = open(temporaryFolder());
    const first = keep(database, '/dev/ttyS0', null, '2026-03-04T00:00:00.000Z');
    const second = keep(database, '/dev/ttyS1', null, '2026-03-05T00:00:00.000Z');
    expect(listAmplifiers(database).map(({ id }) => id)).toEqual([second.id, first.id]);
    expect(renameAmplifier(database, first.id, 'At the window').name).toBe('At the window');
    const { id: transducerId } = addTransducer(database, 'Transducer 2');
    setAmplifierTransducer(database, first.id, transducerId);
    expect(getAmplifier(database, first.id)).toMatchObject({ name: 'At the window', transducerId });
    database.close();
  });

  it('that is forgotten is off the list but goes on being named, and comes back with its identity', () => {
    const database = open(temporaryFolder());
    const known = keep(database, '/dev/ttyUSB0', usb);
    const ofPath = keep(database, '/dev/ttyS0', null);
    forgetAmplifier(database, known.id);
    forgetAmplifier(database, ofPath.id);
    expect(listAmplifiers(database)).toEqual([]);
    expect(amplifierName(database, known.id)).toBe('Amplifier 1');
    expect(() => getAmplifier(database, known.id)).toThrow(coded('amplifier-not-found'));
    expect(() => renameAmplifier(database, known.id, 'x')).toThrow(coded('amplifier-not-found'));
    expect(() => forgetAmplifier(database, known.id)).toThrow(coded('amplifier-not-found'));

    expect(keep(database, '/dev/ttyUSB1', usb)).toMatchObject({ id: known.id, name: 'Amplifier 1' });
    // A path says nothing of the device: forgotten, it is the next one's, under a name that nobody had.
    const next = keep(database, '/dev/ttyS0', null);
    expect(next.id).not.toBe(ofPath.id);
    expect(next.name).toBe('Amplifier 3');
    expect(() => database.exec('DELETE FROM amplifier')).toThrow('never deleted');
    database.close();
  });

  it('stands with the calibrations and trials that were made with it, which never change', () => {
    const database = open(temporaryFolder());
    const transducer = seedBench(database);
    const { id: amplifierId } = keep(database, '/dev/ttyUSB0', usb);
    const second = calibration({ id: 'calibration-2', amplifierId });
    insertCalibration(database, second, { reason: 'New amplifier.' });
    expect(listCalibrations(database, transducer.id)[0]).toEqual(second);
    expect(() => database.exec('UPDATE calibration SET amplifier_id = NULL')).toThrow('never edited');

    const made = { ...conditions(transducer), amplifierId, amplifierName: 'Amplifier 1' };
    beginTrial(database, newTrial(transducer, { conditions: made }), [block(0, [1, 2, 3])]);
    renameAmplifier(database, amplifierId, 'At the window');
    expect(getTrial(database, 'trial-1').conditions).toEqual(made);
    expect(() => database.exec("UPDATE trial SET amplifier_name = 'At the window'")).toThrow('never edited');
    expect(() => database.exec('UPDATE trial SET amplifier_id = NULL')).toThrow('never edited');
    database.close();
  });
});

describe('transducers', () => {
  it('of one’s own are several, the wanted one on the bench; that of captures counts as simulated', () => {
    const database = open(temporaryFolder());
    const first = ensureRealTransducer(database);
    const second = addTransducer(database, 'Small one');
    expect(second).toMatchObject({ name: 'Small one', isSimulated: false, capacityNm: null });
    const replayed = ensureReplayTransducer(database);
    expect(ensureReplayTransducer(database)).toEqual(replayed);
    expect(replayed).toMatchObject({ isSimulated: true, activeCalibrationId: null });
    expect(listTransducers(database)).toHaveLength(3);
    expect(ensureRealTransducer(database, second.id)).toEqual(second);
    expect([first.id, second.id]).toContain(ensureRealTransducer(database).id);
    // The transducer of captures is never the one on a real bench.
    expect(ensureRealTransducer(database, replayed.id).isSimulated).toBe(false);
    database.close();
  });
});

describe('profiles of one’s own', () => {
  const [readyMade] = readyMadeProfiles as [AmplifierProfile, ...AmplifierProfile[]];
  const own: AmplifierProfile = {
    ...readyMade,
    id: 'own-1',
    name: 'North bench',
    example: '0;FF85',
    separator: ';',
    countsField: 1,
    countsForm: { numeral: 'hex', bits: 16 },
    converterBits: 16,
    statusFlags: { field: 0, numeral: 'hex', bits: [{ bit: 2, meaning: 'Bridge open', isFault: true }] },
    textsToSend: { onOpen: null, start: 'RUN\r\n', stop: 'HALT\r\n', zero: '\u0005' },
  };

  it('come back as they were saved, by name, and are changed and deleted', () => {
    const folder = temporaryFolder();
    const first = open(folder);
    saveOwnProfile(first, own);
    saveOwnProfile(first, { ...own, id: 'own-2', name: 'East bench' });
    first.close();
    const database = open(folder);
    expect(listOwnProfiles(database)).toEqual([{ ...own, id: 'own-2', name: 'East bench' }, own]);
    saveOwnProfile(database, { ...own, baudRate: 9600 });
    deleteOwnProfile(database, 'own-2');
    expect(listOwnProfiles(database)).toEqual([{ ...own, baudRate: 9600 }]);
    expect(() => {
      deleteOwnProfile(database, 'own-2');
    }).toThrow(coded('profile-not-found'));
    database.close();
  });
});
