import { describe, expect, it } from 'vitest';
import {
  readyMadeProfiles,
  type AmplifierProfile,
} from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import {
  createLineDecoder,
  type DecodedLine,
} from '../../../../shared-lib/amplifier/decode-amplifier-line.ts';

function profile(id: string, changes: Partial<AmplifierProfile> = {}): AmplifierProfile {
  const found = readyMadeProfiles.find((candidate) => candidate.id === id);
  if (!found) throw new Error(`There is no profile ${id}`);
  return { ...found, ...changes };
}

function decodeWith(used: AmplifierProfile, line: string): DecodedLine | string {
  const into: DecodedLine = { counts: 0, sequence: 0, timeUs: 0 };
  return createLineDecoder(used)(line, into) ?? into;
}

describe('the profile "counts"', () => {
  const used = profile('counts');
  it.each([
    ['-123456', -123456],
    ['+42', 42],
    ['0', 0],
    ['  17 ', 17],
    ['8388607\r', 8388607],
    ['\n-8388608', -8388608],
  ])('reads %j as %d', (line, counts) => {
    expect(decodeWith(used, line)).toEqual({ counts, sequence: Number.NaN, timeUs: Number.NaN });
  });

  it.each(['', '-', '12a', '1.5', '1e3', '0x10', '8388608', '-8388609', '--1', '1 2', '9999999999999999'])(
    'refuses %j instead of guessing',
    (line) => {
      expect(decodeWith(used, line)).toBe('badLine');
    },
  );
});

describe('the profile "sequence, counts"', () => {
  const used = profile('sequence-counts', { sequence: { field: 0, modulus: 65536, numeral: 'decimal' } });

  it('takes each number from its field', () => {
    expect(decodeWith(used, '1042,-123456')).toEqual({ counts: -123456, sequence: 1042, timeUs: Number.NaN });
  });

  it('passes over fields that the profile does not name', () => {
    expect(decodeWith(used, '1042,-123456,spare,7')).toMatchObject({ counts: -123456, sequence: 1042 });
  });

  it.each(['1042', '1042,', ',5', '65536,5', '-1,5', '1042;5'])('refuses %j', (line) => {
    expect(decodeWith(used, line)).toBe('badLine');
  });
});

describe('the checksum of NMEA 0183', () => {
  const used = profile('sequence-time-counts-checksum');

  it('accepts the line whose exclusive or agrees', () => {
    expect(decodeWith(used, '$1042,13025000,-123456*28')).toEqual({
      counts: -123456,
      sequence: 1042,
      timeUs: 13025000,
    });
  });

  it('takes the digits of the checksum in either case', () => {
    // By hand, in hexadecimal: 31^2C^31^2C^37 = 37 for "1,1,7"; then 37^2C^26 = 3D for "1,1,7,&".
    expect(decodeWith(used, '$1,1,7*37')).toMatchObject({ counts: 7 });
    expect(decodeWith(used, '$1,1,7,&*3D')).toMatchObject({ counts: 7 });
    expect(decodeWith(used, '$1,1,7,&*3d')).toMatchObject({ counts: 7 });
  });

  it('refuses every single altered character of a line', () => {
    const line = '$1042,13025000,-123456*28';
    for (let index = 0; index < line.length; index += 1) {
      const altered =
        line.slice(0, index) + String.fromCharCode(line.charCodeAt(index) ^ 1) + line.slice(index + 1);
      expect(decodeWith(used, altered), altered).toMatch(/^bad/);
    }
  });

  it('tells a wrong checksum from a line of another form', () => {
    expect(decodeWith(used, '$1042,13025000,-123457*28')).toBe('badChecksum');
    expect(decodeWith(used, '1042,13025000,-123456*28')).toBe('badLine');
    expect(decodeWith(used, '$1042,13025000,-123456')).toBe('badLine');
    expect(decodeWith(used, '$*')).toBe('badLine');
    expect(decodeWith(used, '$1042,13025000,-123456*G8')).toBe('badLine');
  });
});
