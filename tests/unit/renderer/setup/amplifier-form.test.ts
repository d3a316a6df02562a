import { describe, expect, it } from 'vitest';
import { readyMadeProfiles } from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import {
  type AmplifierForm,
  amplifierFormFrom,
  describePort,
  readAmplifierForm,
  withProfile,
} from '../../../../renderer/setup/amplifier-form.ts';

const settings = {
  path: '/dev/ttyUSB0',
  profileId: 'sequence-counts',
  baudRate: 230_400,
  nominalRateHz: 1000,
  converterBits: 24,
} as const;

function formOf(change: Partial<AmplifierForm> = {}): AmplifierForm {
  const form = amplifierFormFrom(settings, readyMadeProfiles);
  if (form === null) throw new Error('There are ready-made profiles.');
  return { ...form, ...change };
}

describe('amplifier form', () => {
  it('reads back exactly the settings it was filled from', () => {
    expect(readAmplifierForm(formOf())).toEqual(settings);
  });

  it('starts from the first ready-made profile where nothing is stored, and is not ready without a port', () => {
    const form = amplifierFormFrom(null, readyMadeProfiles);
    expect(form).toMatchObject({ path: '', profileId: 'counts', baudRate: '115200' });
    expect(form && readAmplifierForm(form)).toBeNull();
  });

  it('is nothing as long as the profiles are not known', () => {
    expect(amplifierFormFrom(null, [])).toBeNull();
  });

  it('takes a rate with its unit and a baud rate with spaces', () => {
    expect(readAmplifierForm(formOf({ nominalRate: '1,2 kSa/s', baudRate: '921 600' }))).toMatchObject({
      nominalRateHz: 1200,
      baudRate: 921_600,
    });
  });

  it.each([
    ['baudRate', '299'],
    ['baudRate', '9600.5'],
    ['baudRate', ''],
    ['nominalRate', '0'],
    ['nominalRate', 'fast'],
    ['converterBits', '33'],
    ['path', '   '],
  ] as const)('is not ready with %s "%s"', (field, text) => {
    expect(readAmplifierForm(formOf({ [field]: text }))).toBeNull();
  });

  it('takes over what a chosen profile suggests, and keeps the port and every figure that somebody entered', () => {
    const [counts] = readyMadeProfiles;
    if (counts === undefined) throw new Error('There are ready-made profiles.');
    const wanted = { ...counts, id: 'slow', baudRate: 9600, nominalRateHz: 10, converterBits: 16 };
    const suggested = { path: '/dev/ttyUSB0', profileId: 'slow', baudRate: '9600', nominalRate: '10' };
    const before = { ...formOf(), profileId: counts.id, baudRate: '115200', nominalRate: '80' };
    expect(withProfile(before, counts, wanted)).toEqual({ ...suggested, converterBits: '16' });
    expect(withProfile({ ...before, nominalRate: '1000' }, counts, wanted)).toEqual({
      ...suggested,
      nominalRate: '1000',
      converterBits: '16',
    });
  });
});

describe('what a port says of itself', () => {
  const silent = { path: 'COM3', manufacturer: null, serialNumber: null, vendorId: null, productId: null };

  it('lists what there is', () => {
    expect(
      describePort({
        ...silent,
        manufacturer: 'Example Converters',
        serialNumber: 'A1',
        vendorId: '1234',
        productId: 'abcd',
      }),
    ).toBe('Example Converters, serial number A1, USB 1234:abcd');
  });

  it('says so where there is nothing', () => {
    expect(describePort(silent)).toBe('says nothing of itself');
  });
});
