import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  readyMadeProfiles,
  type AmplifierProfile,
} from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import { createLineDecoder } from '../../../../shared-lib/amplifier/decode-amplifier-line.ts';
import { readProfileFile, writeProfileFile } from '../../../../shared-lib/amplifier/profile-file.ts';
import { AppError } from '../../../../shared-lib/app-error.ts';
import { arbitraryProfile } from '../../../helpers/arbitrary-profile.ts';

const [, , checksummed] = readyMadeProfiles;
if (!checksummed) throw new Error('The ready-made profiles are missing.');
const own: AmplifierProfile = { ...checksummed, id: 'own', name: 'North bench' };

function refusal(text: string): string {
  try {
    readProfileFile(text);
  } catch (error) {
    if (error instanceof AppError && error.code === 'profile-invalid') return error.message;
    throw error;
  }
  throw new Error('The file was read.');
}

const fileOf = (changes: object) =>
  JSON.stringify({ format: 'amplifier-profile', version: 1, profile: { ...own, ...changes } });

/** The same value with the members of every object in reverse order. */
function turned(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(turned);
  if (typeof value !== 'object' || value === null) return value;
  const members = Object.entries(value).reverse();
  return Object.fromEntries(members.map(([key, member]) => [key, turned(member)]));
}

describe('a profile in a file', () => {
  it('comes back as it was, whatever the profile, with an example that it reads', () => {
    fc.assert(
      fc.property(arbitraryProfile, (profile) => {
        const read = readProfileFile(writeProfileFile(profile));
        expect({ ...read, example: '' }).toEqual({ ...profile, example: '' });
        const into = { counts: 0, sequence: 0, timeUs: 0, flags: 0 };
        expect(createLineDecoder(read)(read.example, into)).toBeNull();
        expect(readProfileFile(writeProfileFile(read))).toEqual(read);
      }),
      { numRuns: 300 },
    );
  });

  it('keeps an example that it reads', () => {
    const example = '$7,42,-5*29';
    expect(readProfileFile(writeProfileFile({ ...own, example })).example).toBe(example);
    expect(readProfileFile(writeProfileFile({ ...own, example: 'of another time' })).example).toBe(
      checksummed.example,
    );
  });

  it('is the same text in whatever order the settings came, indented to be read', () => {
    const text = writeProfileFile(own);
    expect(writeProfileFile(turned(own) as AmplifierProfile)).toBe(text);
    expect(
      text.startsWith(
        '{\n  "format": "amplifier-profile",\n  "version": 1,\n  "profile": {\n    "id": "own",',
      ),
    ).toBe(true);
    expect(text.endsWith('}\n')).toBe(true);
  });

  it('may leave out what has a default, and begin with a byte order mark', () => {
    const { countsForm, statusFlags, textsToSend, ...older } = own;
    const text = JSON.stringify({ format: 'amplifier-profile', version: 1, profile: older });
    expect(readProfileFile(`\uFEFF${text}`)).toEqual({ ...older, countsForm, statusFlags, textsToSend });
  });

  it.each([
    ['that is cut off', writeProfileFile(own).slice(0, 200), ['not whole JSON']],
    ['that is empty', '', ['not whole JSON']],
    ['of no object', '[1, 2]', ['"format" must be "amplifier-profile"']],
    ['of another format', '{"format":"recipe","version":1}', ['"format" must be "amplifier-profile"']],
    ['without a version', '{"format":"amplifier-profile","profile":{}}', ['"version"']],
    ['of a newer version', '{"format":"amplifier-profile","version":2}', ['version 2', 'up to 1']],
    [
      'with several wrong settings',
      fileOf({ baudRate: 'fast', separator: '|', sequence: { field: 40, modulus: 256 } }),
      ['"profile.baudRate"', '"profile.separator"', '"profile.sequence.field"'],
    ],
    ['with a setting nobody knows', fileOf({ colour: 'red' }), ['colour']],
    [
      'whose profile cannot match',
      fileOf({ countsField: 0, countsForm: { numeral: 'hex', bits: 8 } }),
      ['1st field', '8 bits'],
    ],
    ['that is endless', ' '.repeat(100_001), ['too long']],
  ])('%s is refused with its reasons', (_, text, reasons) => {
    const message = refusal(text);
    expect(message).toContain('nothing was changed');
    for (const reason of reasons) expect(message).toContain(reason);
  });

  it('is not refused for a caution', () => {
    expect(readProfileFile(fileOf({ baudRate: 300 })).baudRate).toBe(300);
  });
});
