import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  readyMadeProfiles,
  type AmplifierProfile,
} from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import {
  profileFormFrom,
  readProfileForm,
  writeModulus,
} from '../../../../renderer/setup/profiles/profile-form.ts';
import { readEscapedText, writeEscapedText } from '../../../../renderer/setup/profiles/escaped-text.ts';
import { tryLine } from '../../../../renderer/setup/profiles/try-line.ts';
import { findSameForm, freeName } from '../../../../renderer/setup/profiles/adopt-profile.ts';
import { describeProfile } from '../../../../renderer/setup/profiles/profile-sentences.ts';

const [, base] = readyMadeProfiles as [AmplifierProfile, AmplifierProfile, AmplifierProfile];

const rich: AmplifierProfile = {
  ...base,
  id: 'own-1',
  name: 'Own',
  separator: '\t',
  lineEnding: '\r\n',
  dataBits: 7,
  parity: 'even',
  stopBits: 2,
  countsField: 3,
  countsForm: { numeral: 'hex', bits: 32 },
  sequence: { field: 0, modulus: 1000, numeral: 'decimal' },
  deviceTimeUs: { field: 1, modulus: 2 ** 32, numeral: 'hex' },
  statusFlags: {
    field: 2,
    numeral: 'hex',
    bits: [
      { bit: 0, meaning: 'overrange', isFault: true },
      { bit: 4, meaning: 'warm', isFault: false },
    ],
  },
  antiAliasBandwidthHz: 120,
  textsToSend: { onOpen: '\u0003', start: 'START\r\n', stop: 'STOP\r', zero: 'Z\\\t' },
};

describe('profile form', () => {
  it('gives back the profile it was filled from, but for the example, which is made anew', () => {
    expect(readProfileForm(profileFormFrom(rich))).toEqual({ profile: { ...rich, example: '' } });
    for (const ready of readyMadeProfiles) {
      expect(readProfileForm(profileFormFrom(ready))).toEqual({ profile: { ...ready, example: '' } });
    }
  });

  it('counts fields from 1, as people do', () => {
    expect(profileFormFrom(rich).countsField).toBe('4');
  });

  it('takes a modulus as a power', () => {
    const form = profileFormFrom(rich);
    const reading = readProfileForm({ ...form, sequence: { ...form.sequence, modulus: '2^16' } });
    expect(reading).toMatchObject({ profile: { sequence: { modulus: 65_536 } } });
    expect(writeModulus(65_536)).toBe('2^16');
    expect(writeModulus(1000)).toBe('1000');
  });

  it('names every field that cannot be taken, at once', () => {
    const form = profileFormFrom(rich);
    const reading = readProfileForm({
      ...form,
      name: ' ',
      baudRate: 'fast',
      texts: { ...form.texts, start: '\\q' },
    });
    const problems = 'problems' in reading ? reading.problems : [];
    expect(problems.map((problem) => problem.split(':')[0])).toEqual(['Name', 'Baud rate', 'To start']);
  });

  it('asks nothing of what is switched off, and keeps what was typed there', () => {
    const form = profileFormFrom(rich);
    const off = { ...form, sequence: { ...form.sequence, isPresent: false, modulus: 'nonsense' } };
    expect(readProfileForm(off)).toMatchObject({ profile: { sequence: null } });
    expect(off.sequence.modulus).toBe('nonsense');
  });

  it('wants a meaning for each status bit', () => {
    const form = profileFormFrom(rich);
    const bits = [{ bit: '3', meaning: '', isFault: true }];
    expect(readProfileForm({ ...form, statusFlags: { ...form.statusFlags, bits } })).toEqual({
      problems: ['Meaning of status bit 1: this is needed.'],
    });
  });
});

describe('texts to send', () => {
  it('are typed with their control characters in sight', () => {
    expect(readEscapedText('Z\\r\\n\\x03\\\\')).toEqual({ text: 'Z\r\n\u0003\\' });
    expect(writeEscapedText('Z\r\n\u0003\\')).toBe('Z\\r\\n\\x03\\\\');
  });

  it('survive being shown and typed again, whatever they hold', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary-ascii', maxLength: 200 }), (text) => {
        expect(readEscapedText(writeEscapedText(text))).toEqual({ text });
      }),
    );
  });

  it.each(['\\', 'a\\', '\\q', '\\x1', '\\xg0'])('refuse %s and say what may be typed', (typed) => {
    const reading = readEscapedText(typed);
    expect('problem' in reading && reading.problem).toContain('after a backslash comes');
  });

  it('refuse a character that is no single byte, which the port could not be sent as typed', () => {
    expect(readEscapedText('5 €')).toHaveProperty('problem');
    expect(readEscapedText('5 \u00b5m\\xff')).toEqual({ text: '5 \u00b5m\u00ff' });
  });

  it('refuse more than the port is sent at once', () => {
    expect(readEscapedText('x'.repeat(201))).toHaveProperty('problem');
  });
});

describe('a line that is tried', () => {
  it('shows each number that the profile reads, and which flags are set', () => {
    const tried = tryLine(rich, '7\tFF\t10\tFFFFFFFE');
    expect(tried).toEqual({
      kind: 'read',
      rows: [
        { name: 'Counts', value: '−2' },
        { name: 'Sequence number', value: '7' },
        { name: 'Device time', value: '255\u202fµs' },
        { name: 'Status flags', value: 'warm' },
      ],
    });
  });

  it('is refused with the reason where it has another form, another checksum or too large a number', () => {
    expect(tryLine(base, 'hello')).toMatchObject({ kind: 'refused' });
    const checked = readyMadeProfiles[2] ?? base;
    expect(tryLine(checked, '$1042,13025000,-123456*00')).toMatchObject({
      sentence: 'Its checksum does not fit what stands before it.',
    });
    const beyond = tryLine(base, '1,99999999');
    expect('sentence' in beyond && beyond.sentence).toContain('beyond what a converter of 24 bits can give');
  });
});

describe('taking a proposed profile', () => {
  it('uses a known profile of the same form, whatever its rates', () => {
    const proposed = { ...base, id: 'proposal', name: 'x', example: '', baudRate: 9600, nominalRateHz: 10 };
    expect(findSameForm(proposed, readyMadeProfiles)?.id).toBe('sequence-counts');
    expect(findSameForm({ ...proposed, lineEnding: '\r\n' }, readyMadeProfiles)?.id).toBe('sequence-counts');
  });

  it.each([
    ['another field', { countsField: 2 }],
    ['another modulus', { sequence: { field: 0, modulus: 256, numeral: 'decimal' } }],
    ['hexadecimal counts', { countsForm: { numeral: 'hex', bits: 24 } }],
    ['7 data bits', { dataBits: 7 }],
    ['a text to start', { textsToSend: { onOpen: null, start: 'S\r', stop: null, zero: null } }],
  ] as const)('does not take one with %s for the same', (_what, change) => {
    expect(findSameForm({ ...base, ...change }, readyMadeProfiles)).toBeNull();
  });

  it('numbers a name that is taken', () => {
    expect(freeName('own: counts', [])).toBe('own: counts');
    expect(freeName('own: counts', ['Own: counts ', 'own: counts (2)'])).toBe('own: counts (3)');
  });

  it('describes a form with its fields in the order of the line', () => {
    expect(describeProfile(rich)).toBe(
      'Field 1 sequence number (modulo 1000), field 2 device time (modulo 2^32), field 3 status flags, field 4 counts (hexadecimal, 32 bits), between tabs',
    );
    expect(describeProfile(readyMadeProfiles[0] ?? base)).toBe('Counts');
  });
});
